import { PDFArray, PDFName, PDFNumber, type PDFObject } from 'pdf-lib';
import type { PageBox } from '../../measure/page-box.ts';
import { firstOf, itemAt } from '../../measure/present.ts';
import { type Result, resultOk, resultProblem } from '../../measure/result.ts';
import { type PdfPage, pageAttribute } from '../file/pages.ts';
import type { PdfFile } from '../file/pdf-file.ts';
import { type ArtworkProblem, artworkProblem, EXPORT_AGAIN } from './artwork-problem.ts';
import { boxFromCorners, boxIntersection, type PageRotation, type SourceBox } from './page-space.ts';

/** The extent of a page, with all defaults filled in. */
export interface PageGeometry {
  readonly boxes: Readonly<Record<PageBox, SourceBox>>;
  readonly rotation: PageRotation;
  readonly userUnit: number;
  /** Whether the page has no MediaBox; Letter size is then assumed, as in most readers. */
  readonly isMediaBoxMissing: boolean;
  /** Boxes wholly outside the MediaBox; their defaults replace them. */
  readonly ignoredBoxes: readonly PageBox[];
}

const LETTER: SourceBox = { x0: 0, y0: 0, x1: 612, y1: 792 };

/**
 * The boxes by ISO 32000-1, 14.11.2: CropBox defaults to the MediaBox, the others to the CropBox, and every box is
 * clipped to the MediaBox. MediaBox, CropBox and Rotate are inherited; the others and UserUnit are not (Tables 29 and
 * 30).
 */
export async function pageGeometry(
  file: PdfFile,
  page: PdfPage,
): Promise<Result<PageGeometry, ArtworkProblem>> {
  const number = page.index + 1;
  const written = await pageAttribute(file, page, 'MediaBox');
  const media = written ? await boxFromArray(file, written) : LETTER;
  if (!media) {
    return pageProblem(
      'page-box-invalid',
      `Page ${number} has a MediaBox that is not four numbers, so its size is unknown.`,
    );
  }
  if (!(media.x1 > media.x0 && media.y1 > media.y0)) {
    return pageProblem('page-box-empty', `Page ${number} has no size: its MediaBox is empty.`);
  }
  const userUnit = await pageUserUnit(file, page);
  if (userUnit === undefined) {
    return pageProblem(
      'page-user-unit-invalid',
      `Page ${number} has a UserUnit that is not a positive number, so its size is unknown.`,
    );
  }
  const ignoredBoxes: PageBox[] = [];
  const boxOr = async (
    name: PageBox,
    stated: PDFObject | undefined,
    fallback: SourceBox,
  ): Promise<SourceBox> => {
    if (!stated) return fallback;
    const box = await boxFromArray(file, stated);
    const within = box && boxIntersection(box, media);
    if (!within) ignoredBoxes.push(name);
    return within ?? fallback;
  };
  const crop = await boxOr('crop', await pageAttribute(file, page, 'CropBox'), media);
  const own = async (name: PageBox, key: string): Promise<SourceBox> =>
    boxOr(name, await file.entry(page.dict, key), crop);
  return resultOk({
    boxes: {
      media,
      crop,
      bleed: await own('bleed', 'BleedBox'),
      trim: await own('trim', 'TrimBox'),
      art: await own('art', 'ArtBox'),
    },
    rotation: await pageRotation(file, page),
    userUnit,
    isMediaBoxMissing: written === undefined,
    ignoredBoxes,
  });
}

const pageProblem = (code: ArtworkProblem['code'], message: string): Result<PageGeometry, ArtworkProblem> =>
  resultProblem(artworkProblem(code, message, EXPORT_AGAIN));

async function boxFromArray(file: PdfFile, object: PDFObject): Promise<SourceBox | undefined> {
  if (!(object instanceof PDFArray) || object.size() < 4) return undefined;
  const numbers: number[] = [];
  for (const item of object.asArray().slice(0, 4)) {
    const number = await file.resolved(item);
    if (!(number instanceof PDFNumber) || !Number.isFinite(number.asNumber())) return undefined;
    numbers.push(number.asNumber());
  }
  return boxFromCorners(firstOf(numbers), itemAt(numbers, 1), itemAt(numbers, 2), itemAt(numbers, 3));
}

/**
 * Clockwise, a multiple of 90 (Table 30). Negative and larger turns are reduced to 0–270; other values count as no
 * turn.
 */
async function pageRotation(file: PdfFile, page: PdfPage): Promise<PageRotation> {
  const value = await pageAttribute(file, page, 'Rotate');
  if (!(value instanceof PDFNumber)) return 0;
  const turn = ((value.asNumber() % 360) + 360) % 360;
  return turn === 90 || turn === 180 || turn === 270 ? turn : 0;
}

/** Undefined where it is not a positive number. */
async function pageUserUnit(file: PdfFile, page: PdfPage): Promise<number | undefined> {
  const value = await file.resolved(page.dict.get(PDFName.of('UserUnit')));
  if (value === undefined) return 1;
  return value instanceof PDFNumber && value.asNumber() > 0 ? value.asNumber() : undefined;
}
