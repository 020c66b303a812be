import type { FontLibrary } from '../drawing/font-library.ts';
import { drawingMirrored } from '../drawing/mirrored-drawing.ts';
import { isFileMirrored } from '../job/film-base.ts';
import type { Job } from '../job/schema.ts';
import { rectFromStored } from '../job/stored-rect.ts';
import type { Panel } from '../layout/panel.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { present } from '../measure/present.ts';
import { type Rect, rectMirrored } from '../measure/rect.ts';
import { filmFromFinished, finishedFromDrawn } from '../measure/spaces.ts';
import type { PanelCut } from './cut-request.ts';
import { marksLayer } from './marks/marks-layer.ts';
import { type PanelMarks, panelMarks } from './marks/panel-marks.ts';

/** Where a panel's printed image is on its artwork page, in drawn mm. */
export function panelWindow(job: Job, layout: SideLayout, panel: Panel): Rect<'drawn'> {
  return finishedFromDrawn(rectFromStored(layout.side.artworkRect), job.scale).rectBack(panel.printed);
}

/** What a panel shows, as text to be hashed: another artwork, place or scale gives another text. */
export const panelShownText = (job: Job, layout: SideLayout, panel: Panel): string =>
  JSON.stringify([
    job.artwork?.sha256 ?? '',
    job.artwork?.box ?? 'crop',
    layout.side.page,
    job.scale,
    rectMicrons(panelWindow(job, layout, panel)),
    ...(isFileMirrored(job, panel) ? ['mirrored'] : []),
  ]);

const rectMicrons = ({ x, y, width, height }: Rect): number[] =>
  [x, y, width, height].map((mm) => Math.round(mm * 1000));

/** How many digits of the hash the label and its code show. */
export const SHOWN_DIGITS = 8;

/**
 * What the cut needs to know about one panel of a job. `program` is its name and version, `shown` the hash of
 * `panelShownText` in hexadecimal.
 */
export function panelCutFromLayout(
  job: Job,
  layout: SideLayout,
  panel: Panel,
  {
    program,
    shown,
    fonts,
  }: { readonly program: string; readonly shown: string; readonly fonts: FontLibrary },
): PanelCut {
  const isMirrored = isFileMirrored(job, panel);
  const toFilm = (rect: Rect<'finished'>): Rect<'film'> => {
    const onFilm = filmFromFinished(panel.film).rect(rect);
    return isMirrored ? rectMirrored(onFilm, panel.film.width) : onFilm;
  };
  return {
    // A side without a page stops the output before anything is cut.
    page: present(layout.side.page, 'The page of a side that is cut'),
    box: job.artwork?.box ?? 'crop',
    window: panelWindow(job, layout, panel),
    scale: job.scale,
    printed: toFilm(panel.printed),
    net: toFilm(panel.net),
    filmWidthMm: panel.film.width,
    filmHeightMm: panel.film.height,
    size: job.output.size,
    ...(isMirrored && { isMirrored }),
    info: { title: `${job.number} ${panel.label}`, created: job.date, program },
    marks: job.output.marks
      ? marksLayer(
          marksOnFilm(panelMarks(job, layout, panel, shown.slice(0, SHOWN_DIGITS), fonts), isMirrored),
          fonts,
        )
      : undefined,
  };
}

const marksOnFilm = (marks: PanelMarks, isMirrored: boolean): PanelMarks =>
  isMirrored ? { ...marks, drawing: drawingMirrored(marks.drawing) } : marks;
