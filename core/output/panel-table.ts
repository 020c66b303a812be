/**
 * The panels of a manifest as comma-separated values (RFC 4180), for a shop's other programs: one line per panel,
 * lengths in finished mm with a point as the decimal mark.
 */
import { csvText } from './csv.ts';
import type { Manifest, ManifestPanel } from './manifest.ts';

const COLUMNS: readonly (readonly [
  string,
  (panel: ManifestPanel, job: Manifest['job']) => string | number,
])[] = [
  ['job', (_panel, job) => job.number],
  ['panel', ({ label }) => label],
  ['side', ({ sideCode }) => sideCode],
  ['install_order', ({ installOrder }) => installOrder],
  ['finished_width_mm', ({ finishedBox }) => finishedBox.widthMm],
  ['finished_height_mm', ({ finishedBox }) => finishedBox.heightMm],
  ['printed_width_mm', ({ printedBox }) => printedBox.widthMm],
  ['printed_height_mm', ({ printedBox }) => printedBox.heightMm],
  ['film_width_mm', ({ filmBox }) => filmBox.widthMm],
  ['film_height_mm', ({ filmBox }) => filmBox.heightMm],
  ['enlarge_by', ({ enlargeBy }) => enlargeBy],
  ['file', ({ file }) => file],
];

const FILM_COLUMNS: typeof COLUMNS = [
  ['film', ({ film }) => film?.letter ?? ''],
  ['film_name', ({ film }) => film?.name ?? ''],
];

export function panelTableCsv({ panels, job }: Manifest): string {
  const columns = panels.some(({ film }) => film) ? [...COLUMNS, ...FILM_COLUMNS] : COLUMNS;
  const rows = [
    columns.map(([name]) => name),
    ...panels.map((panel) => columns.map(([, value]) => value(panel, job))),
  ];
  return csvText(rows);
}
