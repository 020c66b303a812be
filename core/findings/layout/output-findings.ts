/** Whether the selected printer, film and file format can produce the job. */
import { hasSeveralFilms, jobFilms } from '../../job/job-films.ts';
import type { Job } from '../../job/schema.ts';
import { leastReduction } from '../../layout/output-size.ts';
import type { Panel } from '../../layout/panel.ts';
import { printerPrintWidth } from '../../layout/panel-fit.ts';
import type { SideLayout } from '../../layout/side-layout.ts';
import { decimalText } from '../../measure/length-text.ts';
import { filmLengthText } from '../../measure/long-length.ts';
import { MAX_PAGE_MM } from '../../measure/page-limits.ts';
import { LENGTH_TOLERANCE_MM } from '../../measure/units.ts';
import { type Finding, finding } from '../finding.ts';
import { jobLengthText } from './finding-context.ts';

/** With a narrower border, labels and marks cannot be read on a panel held in the hand. */
export const LEAST_MARKED_BORDER_MM = 10;

export function outputFindings(job: Job, layouts: readonly SideLayout[]): Finding[] {
  return [
    ...sideCountFindings(job),
    ...marginFindings(job),
    ...reductionFindings(job),
    ...borderFindings(job),
    ...contourFindings(job),
    ...layouts.flatMap((layout) => pageSizeFindings(job, layout)),
  ];
}

function sideCountFindings(job: Job): Finding[] {
  if (job.sides.length > 0) return [];
  return [
    finding('job-without-sides', 'stop', {}, 'The job has no side yet.', 'Mark a side on the artwork.'),
  ];
}

/** Keeps OUT3. */
const marginFindings = (job: Job): Finding[] =>
  jobFilms(job).flatMap(({ id, letter, printer }) => {
    if (printerPrintWidth(printer) > LENGTH_TOLERANCE_MM) return [];
    const length = jobLengthText(job);
    const [of, where] = hasSeveralFilms(job) ? [` of film ${letter}`, { filmId: id }] : ['', {}];
    return [
      finding(
        'margins-fill-roll',
        'stop',
        where,
        `The side margins of ${length(printer.marginLeftMm)} and ${length(printer.marginRightMm)} leave nothing of the ${length(printer.rollWidthMm)} roll${of} to print on.`,
        'Correct the margins or the roll width of the printer.',
      ),
    ];
  });

/** Keeps OUT2. */
function reductionFindings(job: Job): Finding[] {
  const { size } = job.output;
  if (size.kind !== 'reduction' || Number.isInteger(size.factor)) return [];
  return [
    finding(
      'reduction-not-whole',
      'warn',
      {},
      `Panels are written at 1:${decimalText(size.factor, 4)}, which is easily mistyped when production enlarges them.`,
      `Select a whole number such as 1:${Math.ceil(size.factor)}.`,
    ),
  ];
}

function borderFindings(job: Job): Finding[] {
  const { borderMm, marks } = job.output;
  if (!marks || borderMm >= LEAST_MARKED_BORDER_MM) return [];
  const length = jobLengthText(job);
  return [
    finding(
      'border-too-narrow-for-marks',
      'warn',
      {},
      `The border of ${length(borderMm)} is too narrow for labels and marks, which need ${length(LEAST_MARKED_BORDER_MM)}.`,
      'Widen the border, or switch the marks off and label the panels by hand.',
    ),
  ];
}

/** One stop per side, for its longest panel: changing one setting fixes all of them. Keeps OUT1. */
function pageSizeFindings(job: Job, layout: SideLayout): Finding[] {
  const { size } = job.output;
  if (size.kind === 'user-unit') return [];
  const factor = size.kind === 'reduction' ? size.factor : 1;
  const longSide = (panel: Panel) => Math.max(panel.film.width, panel.film.height);
  const beyond = layout.panels.filter(
    (panel) => longSide(panel) / factor > MAX_PAGE_MM + LENGTH_TOLERANCE_MM,
  );
  if (beyond.length === 0) return [];
  const longest = beyond.reduce((a, b) => (longSide(b) > longSide(a) ? b : a));
  const length = jobLengthText(job);
  const others = beyond.length === 1 ? '' : ` (${beyond.length} panels of ${layout.side.code} are too long)`;
  const atFactor = factor === 1 ? '' : ` at 1:${decimalText(factor, 4)}`;
  return [
    finding(
      'page-beyond-pdf-limit',
      'stop',
      { sideId: layout.side.id, panelId: longest.id },
      `The film of panel ${longest.label} is ${filmLengthText(longSide(longest), job.displayUnit)} long${atFactor}${others}; a PDF page without larger units ends at ${length(MAX_PAGE_MM)}.`,
      `Write the panels at 1:${leastReduction(longSide(longest))} or smaller, or in larger units (UserUnit) if the RIP reads them.`,
    ),
  ];
}

/** A contour line that a RIP treats as artwork is printed on every panel. Keeps CC2. */
function contourFindings(job: Job): Finding[] {
  if (!job.output.cutContours) return [];
  return [
    finding(
      'contours-in-panels',
      'warn',
      {},
      'Panel files have cut contours on a layer of their own: a RIP that does not know their spot ink prints the lines.',
      'Set the RIP to cut the ink “Cutting” and not to print it, and look at the first panel; or leave the contours out of the panel files.',
    ),
  ];
}
