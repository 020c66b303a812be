import { PDFName, PDFNumber } from 'pdf-lib';
import type { PageBox } from '../job/schema.ts';
import { type Result, resultOk, resultProblem } from '../measure/result.ts';
import { type ArtworkProblem, artworkProblem, EXPORT_AGAIN } from './artwork-problem.ts';
import { arrayNumbers } from './object-reader.ts';
import { boxFromCorners, boxIntersection, type PageRotation, type SourceBox } from './page-space.ts';
import type { SourcePage } from './page-tree.ts';

/** What a page says about its extent, with all defaults filled in. */
export interface PageGeometry {
  readonly boxes: Readonly<Record<PageBox, SourceBox>>;
  readonly rotation: PageRotation;
  readonly userUnit: number;
  /** Whether the page names no MediaBox, so that Letter size is assumed, as most readers do. */
  readonly isMediaBoxMissing: boolean;
  /** Boxes that lie wholly outside the MediaBox; their default stands in for them. */
  readonly ignoredBoxes: readonly PageBox[];
}

const LETTER: SourceBox = { x0: 0, y0: 0, x1: 612, y1: 792 };
const BOX_KEYS = {
  crop: 'CropBox',
  bleed: 'BleedBox',
  trim: 'TrimBox',
  art: 'ArtBox',
} as const satisfies Record<Exclude<PageBox, 'media'>, string>;

/**
 * Boxes after ISO 32000-1, 14.11.2: CropBox defaults to the MediaBox, the others to the CropBox, and what
 * reaches beyond the MediaBox is cut off. `number` counts pages from 1, for the messages.
 */
export function pageGeometry(page: SourcePage, number: number): Result<PageGeometry, ArtworkProblem> {
  const written = page.inherited.get('MediaBox');
  const resolved = written ? page.dict.context.lookup(written) : undefined;
  const media = resolved ? boxFromArray(resolved) : LETTER;
  if (!media) {
    return resultProblem(
      artworkProblem(
        'page-box-invalid',
        `Page ${number} has a MediaBox that is not four numbers, so its size is unknown.`,
        EXPORT_AGAIN,
      ),
    );
  }
  if (!(media.x1 > media.x0 && media.y1 > media.y0)) {
    return resultProblem(
      artworkProblem('page-box-empty', `Page ${number} has no size: its MediaBox is empty.`, EXPORT_AGAIN),
    );
  }
  const userUnit = pageUserUnit(page);
  if (userUnit === undefined) {
    return resultProblem(
      artworkProblem(
        'page-user-unit-invalid',
        `Page ${number} has a UserUnit that is not a positive number, so its size is unknown.`,
        EXPORT_AGAIN,
      ),
    );
  }
  const ignoredBoxes: PageBox[] = [];
  const boxOr = (name: keyof typeof BOX_KEYS, fallback: SourceBox): SourceBox => {
    const key = BOX_KEYS[name];
    const given = name === 'crop' ? page.inherited.get('CropBox') : page.dict.get(PDFName.of(key));
    const stated = given && page.dict.context.lookup(given);
    if (!stated) return fallback;
    const box = boxFromArray(stated);
    const within = box && boxIntersection(box, media);
    if (!within) ignoredBoxes.push(name);
    return within ?? fallback;
  };
  const crop = boxOr('crop', media);
  return resultOk({
    boxes: {
      media,
      crop,
      bleed: boxOr('bleed', crop),
      trim: boxOr('trim', crop),
      art: boxOr('art', crop),
    },
    rotation: pageRotation(page),
    userUnit,
    isMediaBoxMissing: resolved === undefined,
    ignoredBoxes,
  });
}

function boxFromArray(object: unknown): SourceBox | undefined {
  const numbers = arrayNumbers(object);
  if (!numbers || numbers.length < 4 || !numbers.every(Number.isFinite)) return undefined;
  return boxFromCorners(numbers[0]!, numbers[1]!, numbers[2]!, numbers[3]!);
}

/** Clockwise, a multiple of 90 (Table 30); negative and larger turns are brought into 0–270, others are no turn. */
function pageRotation(page: SourcePage): PageRotation {
  const written = page.inherited.get('Rotate');
  const value = written ? page.dict.context.lookup(written) : undefined;
  if (!(value instanceof PDFNumber)) return 0;
  const turn = ((value.asNumber() % 360) + 360) % 360;
  return turn === 90 || turn === 180 || turn === 270 ? turn : 0;
}

/** Not inherited (Table 30). Undefined where it is no positive number. */
function pageUserUnit(page: SourcePage): number | undefined {
  const value = page.dict.lookup(PDFName.of('UserUnit'));
  if (value === undefined) return 1;
  return value instanceof PDFNumber && value.asNumber() > 0 ? value.asNumber() : undefined;
}
