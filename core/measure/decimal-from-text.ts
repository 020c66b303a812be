import { firstOf, lastOf } from './present.ts';

/** How a number was read, or why it could not be. */
export type DecimalReading =
  | { readonly kind: 'number'; readonly value: number }
  /** Either a decimal or a group of thousands; both readings are given. */
  | { readonly kind: 'ambiguous'; readonly decimal: string; readonly grouped: string }
  | { readonly kind: 'not-a-number' };

/**
 * Reads digits with a decimal mark and thousands groups in the notations of different countries:
 *
 * - Both marks are there: the last one is the decimal mark, the other groups (`1.234,5`, `1,234.5`).
 * - One mark, more than once: it groups (`1.234.567`). Spaces between groups of three group too.
 * - One mark, once: it is the decimal mark, except where exactly three digits follow and the digits before
 *   it could be a group (`1,524`). A comma there is ambiguous; a point is ambiguous only where
 *   `isPointSuspect` says that three decimals are unlikely (thousandths of a millimeter).
 * Keeps LEN4.
 */
export function decimalFromText(text: string, isPointSuspect: boolean): DecimalReading {
  const spaceless = text.replace(/(?<=\d)[\s\u00a0\u2009\u202f](?=\d{3}(?!\d))/g, '');
  if (!/^(\d+([.,]\d+)*|[.,]\d+)$/.test(spaceless)) return { kind: 'not-a-number' };

  const marks = [...spaceless.matchAll(/[.,]/g)].map(([mark]) => mark);
  const kinds = new Set(marks);
  if (marks.length === 0) return numberOf(spaceless);
  if (kinds.size === 2) {
    const decimalMark = lastOf(marks);
    const isLastOnce = marks.indexOf(decimalMark) === marks.length - 1;
    return isLastOnce ? groupedNumber(spaceless, firstOf(marks), decimalMark) : { kind: 'not-a-number' };
  }
  const [mark] = marks as [string];
  if (marks.length > 1) return groupedNumber(spaceless, mark, undefined);

  const isGroupPossible = /^[1-9]\d{0,2}[.,]\d{3}$/.test(spaceless);
  if (isGroupPossible && (mark === ',' || isPointSuspect)) {
    return {
      kind: 'ambiguous',
      decimal: `${spaceless.replace(',', '.')}0`,
      grouped: spaceless.replace(mark, ''),
    };
  }
  return numberOf(spaceless.replace(',', '.'));
}

function groupedNumber(text: string, groupMark: string, decimalMark: string | undefined): DecimalReading {
  const [whole = '', fraction] = decimalMark ? text.split(decimalMark) : [text];
  const [lead = '', ...groups] = whole.split(groupMark);
  const isWellGrouped = /^\d{1,3}$/.test(lead) && groups.every((group) => /^\d{3}$/.test(group));
  if (!isWellGrouped) return { kind: 'not-a-number' };
  return numberOf([lead, ...groups].join('') + (fraction === undefined ? '' : `.${fraction}`));
}

function numberOf(text: string): DecimalReading {
  const value = Number(text);
  return Number.isFinite(value) ? { kind: 'number', value } : { kind: 'not-a-number' };
}
