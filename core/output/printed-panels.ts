/**
 * Names of panel prints in the ledger of rolls: the label of the panel, plus the vehicle in a fleet that prints set by
 * set.
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

/** The panel and vehicle of a print; no vehicle where it fits any of them. */
export function panelOfPrint(print: string): { readonly panelLabel: string; readonly unitNumber?: string } {
  const [panelLabel = '', ...unit] = print.split(BETWEEN);
  return unit.length === 0 ? { panelLabel } : { panelLabel, unitNumber: unit.join(BETWEEN) };
}

/** In a fleet a panel has one print per vehicle: `DS-01 × 2, DS-05 × 2, TR-01`. */
export function printsText(prints: readonly string[]): string {
  const counts = Map.groupBy(prints, (print) => print);
  return [...counts].map(([print, { length }]) => (length === 1 ? print : `${print} × ${length}`)).join(', ');
}

const SEPARATORS = /^[\s,;]+/;
const TIMES = /^\s*[×x]\s*(\d{1,4})(?=[\s,;]|$)/;

/**
 * Reads the text of `printsText`, or typed text with spaces or commas between labels. A `known` label may itself
 * contain either, such as `LH-04 patch 1`.
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

/** Usage of a roll as entered. */
interface Taken {
  /** Name of the roll for people. */
  readonly roll: string;
  readonly kind: 'printed' | 'laminated';
  readonly panelLabels: readonly string[];
}

/**
 * Keeps STK10. Sentences about entries that exceed what can have been printed: a panel on more rolls than it has
 * prints, or one roll entered for two stretches.
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
