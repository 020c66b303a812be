import { PDFArray, PDFStream } from 'pdf-lib';
import { arrayOf, dictOf, numberOf } from '../file/dict-values.ts';
import { type PdfPage, pageAttribute } from '../file/pages.ts';
import type { PdfFile } from '../file/pdf-file.ts';
import { boxIntersection, type PageRotation, PageSpace, type SourceBox } from '../page/page-space.ts';
import { boxOf } from './object-numbers.ts';
import { OptionalContent } from './optional-content.ts';
import type { WalkedPage } from './walk-state.ts';

/** US Letter, which readers assume when a page has no box with an area. */
const DEFAULT_BOX: SourceBox = { x0: 0, y0: 0, x1: 612, y1: 792 };

/** A page of a file, ready to walk, with the space that it is drawn in. */
export interface ContentPage extends WalkedPage {
  readonly space: PageSpace;
}

/** Collects what walking a page needs. Drawn space has its origin at the CropBox, as shown. */
export async function contentPageFrom(file: PdfFile, page: PdfPage): Promise<ContentPage> {
  const stated = async (key: 'MediaBox' | 'CropBox') => {
    const box = await boxOf(await pageAttribute(file, page, key), file);
    return box !== undefined && box.x1 > box.x0 && box.y1 > box.y0 ? box : undefined;
  };
  const media = (await stated('MediaBox')) ?? DEFAULT_BOX;
  const box = boxIntersection(media, (await stated('CropBox')) ?? media) ?? media;
  const rotate = numberOf(await pageAttribute(file, page, 'Rotate')) ?? 0;
  const turned = (((Math.round(rotate / 90) * 90) % 360) + 360) % 360;
  const unit = numberOf(await file.entry(page.dict, 'UserUnit')) ?? 1;
  const userUnit = unit > 0 ? unit : 1;
  const rotation = ([0, 90, 180, 270] as const).find((angle) => angle === turned) ?? (0 as PageRotation);
  return {
    objects: file,
    contents: () => pageContents(file, page),
    resources: dictOf(await pageAttribute(file, page, 'Resources')),
    box,
    layers: await OptionalContent.from(await file.catalog(), file),
    space: new PageSpace(box, rotation, userUnit),
  };
}

const LINE_FEED = Uint8Array.of(0x0a);

/** The decoded content streams of a page, with white space between them (7.8.2). */
export async function* pageContents(file: PdfFile, page: PdfPage): AsyncGenerator<Uint8Array> {
  const contents = await file.entry(page.dict, 'Contents');
  const streams = contents instanceof PDFArray ? (arrayOf(contents)?.asArray() ?? []) : [contents];
  for (const [i, item] of streams.entries()) {
    const stream = await file.resolved(item);
    if (!(stream instanceof PDFStream)) continue;
    if (i > 0) yield LINE_FEED;
    yield (await file.streamDecoded(stream)).bytes;
  }
}
