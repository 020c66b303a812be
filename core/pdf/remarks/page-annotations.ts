/**
 * Remarks on the pages of a PDF as markup annotations (ISO 32000-1, 12.5.6), which any reader lists: a square around a
 * place, or a text annotation where no place is known. Each has its own appearance stream, so that all readers show it
 * alike.
 */
import { PDFArray, PDFHexString, PDFName, type PDFObject, PDFRef, PDFString } from 'pdf-lib';
import type { FontLibrary } from '../../drawing/font-library.ts';
import { type PathStep, textOutlines } from '../../drawing/text-outlines.ts';
import type { PageBox } from '../../measure/page-box.ts';
import { present } from '../../measure/present.ts';
import type { Rect } from '../../measure/rect.ts';
import { type Result, resultOk, resultProblem } from '../../measure/result.ts';
import type { Mm } from '../../measure/units.ts';
import { type Artwork, pageWithSpace } from '../document/artwork.ts';
import { arrayOf } from '../file/dict-values.ts';
import { type ArtworkProblem, artworkProblem, withPdfProblems } from '../page/artwork-problem.ts';
import { matrixInverse } from '../page/page-space.ts';
import {
  type ChangedObject,
  freeNumber,
  incrementalUpdate,
  updateBase,
} from '../write/incremental-update.ts';

export interface PageMark {
  readonly page: number;
  readonly kind: 'frame' | 'note';
  /** In drawn mm of its page. */
  readonly rect: Rect<'drawn'>;
  readonly number: number;
  readonly severity: 'stop' | 'warn' | 'note';
  readonly subject: string;
  readonly contents: string;
  /** The unit that scales lines and figures on this page. */
  readonly unitMm: Mm;
  /** How far to the right of its frame's corner the number is. */
  readonly labelShiftMm: Mm;
}

export interface AnnotationFacts {
  /** The author of the remarks. */
  readonly author: string;
  /** An ISO date and time, such as `2026-11-27T15:40:00`; anything after the seconds is ignored. */
  readonly at: string;
  /** 32 hexadecimal digits that name the file with its remarks. */
  readonly identifier: string;
}

/** Red, orange, blue. Numbers and words distinguish the marks as well. */
const COLORS = { stop: [0.8, 0, 0], warn: [0.85, 0.4, 0], note: [0, 0.3, 0.8] } as const;
/** Prints with its page (Table 165). */
const PRINT = 4;

/** The bytes to append to the file for its remarks. Problem `pdf-not-annotated` where nothing can be appended. */
export function annotationsAppended(
  artwork: Artwork,
  box: PageBox,
  marks: readonly PageMark[],
  facts: AnnotationFacts,
  fonts: FontLibrary,
): Promise<Result<Uint8Array, ArtworkProblem>> {
  return withPdfProblems(async () => {
    const { file } = artwork;
    const base = await updateBase(file);
    if (!base) return resultProblem(NOT_ANNOTATED);
    const { context } = file;
    let next = freeNumber(file);
    const changed: ChangedObject[] = [];
    const add = (object: PDFObject): PDFRef => {
      const ref = PDFRef.of(next++);
      changed.push({ ref, object });
      return ref;
    };
    for (const [page, ofPage] of Map.groupBy(marks, (mark) => mark.page)) {
      const found = pageWithSpace(artwork, page, box);
      if (!found.ok) continue;
      const { source, space } = found.value;
      const { ref, dict } = source.page;
      // A page that is not an indirect object cannot be replaced alone.
      if (!ref) return resultProblem(NOT_ANNOTATED);
      const toPage = present(matrixInverse(space.toDrawn), 'The way from a drawing to its page');
      const annotations = ofPage.map((mark) => {
        const { x0, y0, x1, y1 } = space.boxFromRect(mark.rect);
        const { x, y, width, height } = mark.rect;
        const appearance = context.flateStream(markOperators(mark, fonts), {
          Type: 'XObject',
          Subtype: 'Form',
          BBox: [x, y, x + width, y + height],
          Matrix: [...toPage],
        });
        return add(
          context.obj({
            Type: 'Annot',
            Subtype: mark.kind === 'frame' ? 'Square' : 'Text',
            Rect: [x0, y0, x1, y1],
            P: ref,
            NM: PDFString.of(`finding-${mark.number}`),
            T: PDFHexString.fromText(facts.author),
            Subj: PDFHexString.fromText(mark.subject),
            Contents: PDFHexString.fromText(mark.contents),
            M: PDFString.of(dateText(facts.at)),
            CreationDate: PDFString.of(dateText(facts.at)),
            C: [...COLORS[mark.severity]],
            F: PRINT,
            ...(mark.kind === 'frame'
              ? { BS: { W: (mark.unitMm * LINE) / space.mmPerUnit } }
              : { Name: 'Comment', Open: false }),
            AP: { N: add(appearance) },
          }),
        );
      });
      const before = arrayOf(await file.entry(dict, 'Annots'));
      const replaced = dict.clone(context);
      const all = PDFArray.withContext(context);
      for (const each of [...(before?.asArray() ?? []), ...annotations]) all.push(each);
      replaced.set(PDFName.of('Annots'), all);
      changed.push({ ref, object: replaced });
    }
    return resultOk(incrementalUpdate(file, base, changed, next, facts.identifier));
  });
}

const NOT_ANNOTATED = artworkProblem(
  'pdf-not-annotated',
  'Remarks cannot be put on a copy of this artwork, because its file is encrypted or damaged.',
  'Send the report alone: it has all findings with their places.',
);

/** `D:20261127154000` */
const dateText = (at: string): string => `D:${at.replaceAll(/\D/g, '').slice(0, 14)}Z`;

const LINE = 0.12;

/** Draws the frame and its number on white, in drawn mm. */
function markOperators(
  { rect, number, severity, unitMm, kind, labelShiftMm }: PageMark,
  fonts: FontLibrary,
): string {
  const line = LINE * unitMm;
  const { x, y, width, height } = rect;
  const color = COLORS[severity].join(' ');
  const text = String(number);
  const sizeMm = Math.min(
    unitMm * (kind === 'note' ? 1.3 : 1),
    height * 0.7,
    (width * 0.8) / fonts.width(text, 'bold', 1),
  );
  const label = { width: fonts.width(text, 'bold', sizeMm) + 0.4 * sizeMm, height: sizeMm * 1.1 };
  const outer = `${n(x + line / 2)} ${n(y + line / 2)} ${n(width - line)} ${n(height - line)} re`;
  const tile =
    kind === 'note'
      ? rect
      : { x: x + line + labelShiftMm, y: y + line, width: label.width, height: label.height };
  const base = { x: tile.x + tile.width / 2, y: tile.y + tile.height / 2 + sizeMm * 0.357 };
  return [
    `1 g ${n(tile.x)} ${n(tile.y)} ${n(tile.width)} ${n(tile.height)} re f`,
    `${color} RG ${n(line)} w ${outer} S`,
    `${color} rg`,
    ...textOutlines(fonts, text, { role: 'bold', sizeMm }, base, 'middle').map(stepOperator),
    'f',
  ].join('\n');
}

function stepOperator([kind, ...places]: PathStep): string {
  return kind === 'Z' ? 'h' : `${places.map(n).join(' ')} ${kind.toLowerCase()}`;
}

const n = (value: number): string => String(Number(value.toFixed(4)));
