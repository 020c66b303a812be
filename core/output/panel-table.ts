/**
 * The panels of a manifest as comma-separated values (RFC 4180), for a shop's other programs: one line per panel,
 * lengths in finished mm with a point as the decimal mark.
 */
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
  return rows.map((row) => `${row.map(csvField).join(',')}\r\n`).join('');
}

/** Lengths to a thousandth of a millimeter; text quoted where it must be, and kept from being read as a formula. */
function csvField(value: string | number): string {
  if (typeof value === 'number') return String(Math.round(value * 1000) / 1000);
  const text = /^[=+\-@\t\r]/.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
