/**
 * The cut contours of a panel's file: lines in one spot ink that overprint the inks below, and nothing else. They are
 * not part of the picture, so a panel is drawn and walked without them. They are read from the file alone, without any
 * code of the writer.
 */
import { PDFArray, PDFBool, PDFDict, PDFName, PDFRef, PDFStream } from 'pdf-lib';
import { boxOf, matrixOf } from '../../pdf/content/object-numbers.ts';
import { dictOf, nameOf } from '../../pdf/file/dict-values.ts';
import type { PdfFile } from '../../pdf/file/pdf-file.ts';
import type { SourceBox } from '../../pdf/page/page-space.ts';
import { boxThrough } from './painted-boxes.ts';

/** The name under which a panel's page paints its contours (core/cut/panel-document.ts). */
const CONTOURS = PDFName.of('Contours');

export interface PanelContours {
  readonly ref: PDFRef;
  readonly stream: PDFStream;
  readonly ink: string;
  /** The box around all lines, in units of the page. */
  readonly box: SourceBox;
}

const NUMBER = '-?\\d*\\.?\\d+';
const SETTINGS = new RegExp(`^/Over gs /Ink CS 1 SCN 1 j\\n(${NUMBER}) w\\n`);
const LINES = new RegExp(`^(?:${NUMBER} ${NUMBER} [ml]\\n|[sS](?:\\n|$))*$`);
const POINT = new RegExp(`(${NUMBER}) (${NUMBER}) [ml]`, 'g');
/** In units of the form, which are millimeters of film. */
const MOST_LINE_WIDTH = 0.5;

/** Undefined where there are none, or where the form contains anything but contours. */
export async function panelContours(
  file: PdfFile,
  resources: PDFDict | undefined,
): Promise<PanelContours | undefined> {
  const forms = dictOf(await file.entry(resources, 'XObject'));
  const ref = forms?.get(CONTOURS);
  const stream = await file.resolved(ref);
  if (!(ref instanceof PDFRef && stream instanceof PDFStream)) return undefined;
  if (stream.dict.has(PDFName.of('Group')) || stream.dict.has(PDFName.of('OC'))) return undefined;
  const ink = await overprintingInk(file, dictOf(await file.entry(stream.dict, 'Resources')));
  const text = new TextDecoder('latin1').decode((await file.streamDecoded(stream)).bytes);
  const settings = SETTINGS.exec(text);
  if (ink === undefined || !settings || Number(settings[1]) > MOST_LINE_WIDTH) return undefined;
  const lines = text.slice(settings[0].length);
  if (!LINES.test(lines)) return undefined;
  const points = [...lines.matchAll(POINT)].map(([, x, y]) => [Number(x), Number(y)] as const);
  const within = await boxOf(stream.dict.get(PDFName.of('BBox')), file);
  const matrix = await matrixOf(stream.dict.get(PDFName.of('Matrix')), file);
  if (points.length === 0 || !within || !matrix) return undefined;
  const box = points.reduce(
    (around, [x, y]) => ({
      x0: Math.min(around.x0, x),
      y0: Math.min(around.y0, y),
      x1: Math.max(around.x1, x),
      y1: Math.max(around.y1, y),
    }),
    { x0: Number.POSITIVE_INFINITY, y0: Number.POSITIVE_INFINITY, x1: -1e9, y1: -1e9 },
  );
  return { ref, stream, ink, box: boxThrough(box, matrix) };
}

/** The spot ink, where its lines overprint all other inks. */
async function overprintingInk(file: PdfFile, resources: PDFDict | undefined): Promise<string | undefined> {
  const spaces = dictOf(await file.entry(resources, 'ColorSpace'));
  const space = await file.entry(spaces, 'Ink');
  const states = dictOf(await file.entry(resources, 'ExtGState'));
  const over = await file.entry(states, 'Over');
  if (!(space instanceof PDFArray && over instanceof PDFDict)) return undefined;
  if (over.entries().some(([key]) => !['OP', 'op', 'OPM'].includes(key.decodeText()))) return undefined;
  if (over.get(PDFName.of('OP')) !== PDFBool.True) return undefined;
  const [family, ink] = [await file.resolved(space.get(0)), await file.resolved(space.get(1))];
  const name = nameOf(ink);
  return nameOf(family) === 'Separation' && name !== 'All' && name !== 'None' ? name : undefined;
}
