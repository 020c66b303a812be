/**
 * Prints of panels as the ledger of rolls names them: by the label of the panel, and of a fleet that prints set by set with
 * its vehicle.
 *
 *     LH-03 · BM-08        →  panel LH-03, for BM-08
 *     LH-03 × 2, LH-05     →  LH-03, LH-03, LH-05
 */
import { listText } from '../measure/list-text.ts';
import { itemAt } from '../measure/present.ts';

const BETWEEN = ' · ';

/** A print of a panel for one vehicle. */
export const printLabel = (panelLabel: string, unitNumber: string): string =>
  `${panelLabel}${BETWEEN}${unitNumber}`;

/** The panel and the vehicle that a print is of; no vehicle where any takes it. */
export function panelOfPrint(print: string): { readonly panelLabel: string; readonly unitNumber?: string } {
  const [panelLabel = '', ...unit] = print.split(BETWEEN);
  return unit.length === 0 ? { panelLabel } : { panelLabel, unitNumber: unit.join(BETWEEN) };
}

/** Of a fleet a panel has a print for each vehicle: `DS-01 × 2, DS-05 × 2, TR-01`. */
export function printsText(prints: readonly string[]): string {
  const counts = Map.groupBy(prints, (print) => print);
  return [...counts].map(([print, { length }]) => (length === 1 ? print : `${print} × ${length}`)).join(', ');
}

const SEPARATORS = /^[\s,;]+/;
const TIMES = /^\s*[×x]\s*(\d{1,4})(?=[\s,;]|$)/;

/**
 * What `printsText` wrote, or somebody typed: with blanks or commas between. A label that is `known` may have either in
 * itself, as `LH-04 patch 1` has.
 */
export function printsFromText(text: string, known: readonly string[]): string[] {
  const longestFirst = known.toSorted((a, b) => b.length - a.length);
  const prints: string[] = [];
  let rest = text.replace(SEPARATORS, '');
  while (rest !== '') {
    const print =
      longestFirst.find((label) => rest.startsWith(label) && /^([\s,;×]|$)/.test(rest.slice(label.length))) ??
      itemAt(rest.split(/[\s,;]/), 0);
    rest = rest.slice(print.length);
    const [times = '', count = '1'] = TIMES.exec(rest) ?? [];
    prints.push(...Array.from({ length: Number(count) }, () => print));
    rest = rest.slice(times.length).replace(SEPARATORS, '');
  }
  return prints;
}

/** What went off a roll, as it was entered. */
interface Taken {
  /** What people call it. */
  readonly roll: string;
  readonly kind: 'printed' | 'laminated';
  readonly panelLabels: readonly string[];
}

/**
 * Keeps STK10. Sentences about an entry with more than can have been printed: a panel on more rolls than it has prints,
 * or a roll of film that two stretches come from.
 */
export function takenTwice(taken: readonly Taken[], printsOf: (print: string) => number): string[] {
  const kinds = ['printed', 'laminated'] as const;
  const panels = kinds.flatMap((kind) => {
    const ofKind = taken.filter((each) => each.kind === kind);
    const counts = Map.groupBy(
      ofKind.flatMap(({ panelLabels }) => panelLabels),
      (print) => print,
    );
    return [...counts].flatMap(([print, { length }]) => {
      const most = printsOf(print);
      if (length <= most) return [];
      const rolls = ofKind.filter(({ panelLabels }) => panelLabels.includes(print)).map(({ roll }) => roll);
      return `${print} is entered ${length} times as ${kind} (${listText([...new Set(rolls)])}), and the output has it ${most === 1 ? 'once' : `${most} times`}.`;
    });
  });
  const films = Map.groupBy(
    taken.filter(({ kind }) => kind === 'printed'),
    ({ roll }) => roll,
  );
  const rolls = [...films].flatMap(([roll, { length }]) =>
    length === 1 ? [] : `${roll} is entered ${length} times as a roll that was printed on.`,
  );
  return [...panels, ...rolls];
}
