/** Remarks on a corrected artwork as a whole: its pages, their sizes, and where its sides are. */
import { type LengthFormat, lengthText } from '../measure/length-text.ts';
import { listText } from '../measure/list-text.ts';

export interface PageSize {
  readonly widthMm: number;
  readonly heightMm: number;
}

export interface SideOnPages {
  readonly name: string;
  readonly pageBefore: number | undefined;
  readonly pageAfter: number | undefined;
}

export interface FilesCompared {
  /** Undefined where a page cannot be used. */
  readonly before: readonly (PageSize | undefined)[];
  readonly after: readonly (PageSize | undefined)[];
  readonly sides: readonly SideOnPages[];
  readonly unit: LengthFormat;
}

/** In drawn mm; a smaller difference does not matter in print. */
const SAME_SIZE_MM = 0.1;
const SAME_SHAPE = 1e-3;

export function comparisonRemarks({ before, after, sides, unit }: FilesCompared): string[] {
  return [...countRemarks(before.length, after.length), ...moveRemarks(sides), ...sizeRemarks()];

  function sizeRemarks(): string[] {
    return sides.flatMap(({ name, pageBefore, pageAfter }) => {
      const [was, is] = [before[(pageBefore ?? 0) - 1], after[(pageAfter ?? 0) - 1]];
      if (!was || !is) return [];
      const far = Math.max(Math.abs(was.widthMm - is.widthMm), Math.abs(was.heightMm - is.heightMm));
      if (far <= SAME_SIZE_MM) return [];
      const [across, down] = [is.widthMm / was.widthMm, is.heightMm / was.heightMm];
      const text = ({ widthMm, heightMm }: PageSize) =>
        `${lengthText(widthMm, unit)} × ${lengthText(heightMm, unit)}`;
      const why =
        Math.abs(across / down - 1) <= SAME_SHAPE
          ? 'it may be drawn at another scale'
          : 'the side stays where it was, measured from the top left corner';
      return [`The page of ${name} is ${text(is)}; it was ${text(was)}: ${why}.`];
    });
  }
}

function countRemarks(before: number, after: number): string[] {
  if (before === after) return [];
  const pages = (count: number) => (count === 1 ? '1 page' : `${count} pages`);
  return [`The corrected artwork has ${pages(after)}; the artwork had ${pages(before)}.`];
}

function moveRemarks(sides: readonly SideOnPages[]): string[] {
  const moved = sides.filter(
    ({ pageBefore, pageAfter }) => pageAfter !== undefined && pageAfter !== pageBefore,
  );
  const lost = sides.filter(
    ({ pageBefore, pageAfter }) => pageBefore !== undefined && pageAfter === undefined,
  );
  const swapped = moved.find((side) => moved.some((other) => isSwap(side, other)));
  const partner = swapped && moved.find((other) => isSwap(swapped, other));
  const rest = moved.filter((side) => side !== swapped && side !== partner);
  return [
    ...(swapped && partner
      ? [
          `${swapped.name} and ${partner.name} have changed places: ${swapped.name} is on page ${swapped.pageAfter} now, ${partner.name} on page ${partner.pageAfter}.`,
        ]
      : []),
    ...rest.map(
      ({ name, pageBefore, pageAfter }) =>
        `${name} is on page ${pageAfter} now; it was on page ${pageBefore}.`,
    ),
    ...(lost.length > 0
      ? [
          `No page of the corrected artwork holds ${listText(lost.map(({ name }) => name))}; ${lost.length === 1 ? 'that side stays' : 'those sides stay'} as ${lost.length === 1 ? 'it is' : 'they are'}, and nothing of ${lost.length === 1 ? 'it' : 'them'} can be written.`,
        ]
      : []),
  ];
}

const isSwap = (a: SideOnPages, b: SideOnPages): boolean =>
  a !== b && a.pageBefore === b.pageAfter && a.pageAfter === b.pageBefore;
