import type { FontMetrics } from '../drawing/font-library.ts';
import { panelDayText } from '../job/install-days.ts';
import { filmTitle, hasSeveralFilms } from '../job/job-films.ts';
import type { Job } from '../job/schema.ts';
import type { Panel } from '../layout/panel.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { unitsOfJob } from '../layout/unit-layouts.ts';
import { type OutputMark, reprintText } from '../output/output-mark.ts';
import { type Label, type LabelLine, labelPages, STAMP } from './label-pages.ts';
import type { LabelSheet } from './label-sheet.ts';
import type { Sheet } from './page-frame.ts';
import { panelCodeText } from './qr-code.ts';
import { sheetSize } from './sheet-length.ts';

export const PANEL_LABELS = 'Panel labels';

export interface PanelLabelOptions {
  readonly fonts: FontMetrics;
  readonly sheet: LabelSheet;
  /** Labels already used on the first sheet. */
  readonly skip?: number;
  /** Only these panels, for a reprint; all where absent. */
  readonly panelIds?: readonly string[];
  /** Whether each label has the verification status. */
  readonly hasStamp?: boolean;
  /** The output of the labels. */
  readonly output?: OutputMark;
}

/** One label per panel and vehicle, for core or box: in install order, grouped by vehicle and side. Keeps FLT5. */
export function panelLabels(
  job: Job,
  layouts: readonly SideLayout[],
  { fonts, sheet, skip = 0, panelIds, hasStamp = false, output }: PanelLabelOptions,
): readonly Sheet[] {
  const units = unitsOfJob(job, layouts);
  const labels = units.flatMap(({ unit, layouts: own }) =>
    own.flatMap((layout) =>
      layout.panels
        .filter(({ id }) => !panelIds || panelIds.includes(id))
        .map((panel): Label => {
          const unitNumber = units.length > 1 ? unit.unitNumber : output?.reprint?.unitNumber;
          const subject = { job, layout, panel, unitNumber, hasStamp, output };
          return {
            tag: ['label', panel.label, ...(unitNumber === undefined ? [] : [unitNumber])].join(' '),
            codeText: panelCodeText(job, panel, output, unitNumber),
            lines: (isLow) => labelLines(subject, isLow),
            hasStamp,
          };
        }),
    ),
  );
  return labelPages(PANEL_LABELS, labels, { fonts, sheet, skip });
}

interface LabelSubject {
  readonly job: Job;
  readonly layout: SideLayout;
  readonly panel: Panel;
  /** The vehicle that it is installed on, where the job has several. */
  readonly unitNumber: string | undefined;
  readonly hasStamp: boolean;
  readonly output: OutputMark | undefined;
}

function labelLines(
  { job, layout, panel, unitNumber, hasStamp, output }: LabelSubject,
  isLow: boolean,
): LabelLine[] {
  const unit = job.displayUnit;
  const place = panel.patch
    ? `Over damage · ${layout.side.name}`
    : `${panel.number} of ${layout.panels.length} · ${layout.side.name}`;
  const visible = `Visible ${sheetSize(panel.net, unit)} ${unit}`;
  const strong = (text: string, share: number): LabelLine => ({ text, share, isStrong: true });
  const plain = (text: string): LabelLine => ({ text, share: 1, isStrong: false });
  const again: readonly LabelLine[] = output?.reprint
    ? [strong(reprintText(output, job.dateOrder), 1.1)]
    : [];
  const reason: readonly LabelLine[] = output?.reprint?.reason ? [plain(output.reprint.reason)] : [];
  const vehicle: readonly LabelLine[] = unitNumber === undefined ? [] : [strong(unitNumber, 1.6)];
  const number = output && !output.reprint ? ` · Output ${output.number}` : '';
  const film: readonly LabelLine[] = hasSeveralFilms(job)
    ? [strong(`Film ${filmTitle(job, panel.filmId)}`, 1.1)]
    : [];
  const dayText = panelDayText(job, panel);
  const day: readonly LabelLine[] = dayText === undefined ? [] : [strong(`Install ${dayText}`, 1.1)];
  const word: readonly LabelLine[] = hasStamp ? [{ text: STAMP, share: 1, isStrong: true }] : [];
  if (isLow) {
    return [
      strong(panel.label, 2.4),
      ...vehicle,
      ...again,
      ...word,
      strong(place, 1.2),
      ...film,
      ...day,
      strong(`Job ${job.number}${number}`, 1),
      ...reason,
      plain(visible),
    ];
  }
  return [
    strong(panel.label, 3),
    ...vehicle,
    ...again,
    ...reason,
    ...word,
    strong(place, 1.3),
    ...film,
    ...day,
    strong(`Job ${job.number}${number}`, 1.1),
    plain(job.name),
    plain(job.customer),
    plain(panel.patch ? 'Install by its patch sheet' : `Install ${panel.order} of ${layout.panels.length}`),
    plain(visible),
  ];
}
