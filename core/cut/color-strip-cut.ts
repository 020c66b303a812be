import type { FontLibrary } from '../drawing/font-library.ts';
import { styleOf } from '../drawing/text-block.ts';
import type { Job } from '../job/schema.ts';
import { filmFromFinished } from '../measure/spaces.ts';
import { type ColorStrip, colorStripLabel } from '../output/color-strip.ts';
import { type OutputMark, reprintText } from '../output/output-mark.ts';
import type { PanelCut } from './cut-request.ts';
import { letterSize, textMarkFitted } from './marks/mark-block.ts';
import { itemOnLane, type MarkLane, markLanes } from './marks/mark-lane.ts';
import { marksLayer } from './marks/marks-layer.ts';
import type { PanelMarks } from './marks/panel-marks.ts';
import { enlargement } from './panel-geometry.ts';

/**
 * The color strip as a cut from the written panel, whose page replaces the artwork's: the strip shows what that file
 * prints. `program` is name and version.
 */
export function colorStripCut(
  job: Job,
  strip: ColorStrip,
  output: OutputMark,
  program: string,
  fonts: FontLibrary,
): PanelCut {
  const { panel, printed, film } = strip;
  const scale = enlargement(job.output.size);
  const toFilm = filmFromFinished(film);
  const onFilm = toFilm.rect(printed);
  const onPanel = filmFromFinished(panel.film).rect(printed);
  return {
    page: 1,
    box: 'media',
    window: {
      x: onPanel.x / scale,
      y: onPanel.y / scale,
      width: onPanel.width / scale,
      height: onPanel.height / scale,
    },
    scale,
    printed: onFilm,
    net: onFilm,
    filmWidthMm: film.width,
    filmHeightMm: film.height,
    size: job.output.size,
    info: { title: `${job.number} ${colorStripLabel(strip)}`, created: job.date, program },
    marks: marksLayer(stripMarks(job, strip, output, fonts), fonts),
  };
}

/** The border marks along its two longest edges: what it is, and for which output. */
function stripMarks(job: Job, strip: ColorStrip, output: OutputMark, fonts: FontLibrary): PanelMarks {
  const toFilm = filmFromFinished(strip.film);
  const film = toFilm.rect(strip.film);
  const lanes = markLanes(film, toFilm.rect(strip.printed)).toSorted((a, b) => b.lengthMm - a.lengthMm);
  const words = [
    `${job.number} · COLOR STRIP of ${strip.panel.label} · DO NOT INSTALL`,
    reprintText(output, job.dateOrder),
  ];
  const items = words.flatMap((text, index) => {
    const lane: MarkLane | undefined = lanes[index];
    const size = lane && letterSize(lane.depthMm, 0.3, 7);
    const mark =
      size &&
      textMarkFitted(fonts, text, styleOf('bold', size), lane, {
        roomMm: lane.lengthMm,
        tag: `strip ${index}`,
      });
    return mark ? mark.items.map((item) => itemOnLane(lane, 0, item)) : [];
  });
  return { drawing: { widthMm: film.width, heightMm: film.height, items }, omitted: [] };
}
