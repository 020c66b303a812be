import fc from 'fast-check';
import { DEFAULT_ROLL_RULES, type PackItem, type RollRules, type RollStock } from '../../core/shop/rolls.ts';

/** A roll of 54 in film (1,371.6 mm) with unsymmetrical margins, to be changed where a test needs it. */
export const rollOf = (changes: Partial<RollStock> = {}): RollStock => ({
  id: 'roll-a',
  label: 'Roll A',
  widthMm: 1371.6,
  leftMarginMm: 9,
  rightMarginMm: 13,
  usableLengthMm: 22_860,
  leadInMm: 210,
  tailMm: 170,
  ...changes,
});

export const panelOf = (
  number: number,
  widthMm: number,
  lengthMm: number,
  changes: Partial<PackItem> = {},
): PackItem => ({
  panelId: `lh-${number}`,
  sideId: 'lh',
  label: `LH-0${number}`,
  widthMm,
  lengthMm,
  mayTurn: false,
  installOrder: number,
  ...changes,
});

export const rulesOf = (changes: Partial<RollRules> = {}): RollRules => ({
  ...DEFAULT_ROLL_RULES,
  ...changes,
});

export interface RollCase {
  readonly items: readonly PackItem[];
  readonly rolls: readonly RollStock[];
  readonly rules: RollRules;
}

/** Panels of a few sides, one to three rolls of like or unlike width and length, and any mix of rules. */
export const rollCases = (mostPanels: number): fc.Arbitrary<RollCase> =>
  fc.record({
    items: fc
      .array(
        fc.record({
          side: fc.integer({ min: 0, max: 2 }),
          widthMm: fc.integer({ min: 120, max: 1340 }),
          lengthMm: fc.integer({ min: 150, max: 2900 }),
          mayTurn: fc.boolean(),
        }),
        { minLength: 1, maxLength: mostPanels },
      )
      .map((panels) =>
        panels.map(({ side, ...size }, index) =>
          panelOf(index + 1, size.widthMm, size.lengthMm, { sideId: `side-${side}`, mayTurn: size.mayTurn }),
        ),
      ),
    rolls: fc
      .array(
        fc.record({
          widthMm: fc.constantFrom(1371.6, 1371.6, 1524),
          usableLengthMm: fc.integer({ min: 1800, max: 22_860 }),
        }),
        { minLength: 1, maxLength: 2 },
      )
      .map((rolls) =>
        rolls.map((roll, index) => rollOf({ id: `roll-${index}`, label: `Roll ${index}`, ...roll })),
      ),
    rules: fc
      .record({
        gapMm: fc.constantFrom(0, 11, 17),
        longestPrintMm: fc.constantFrom(2600, 30_000),
        feedCompensationPercent: fc.constantFrom(0, 0.3, -0.2),
        sideOnOneRoll: fc.boolean(),
        sideInOneDirection: fc.boolean(),
        printOrder: fc.constantFrom(
          'first-installed-first' as const,
          'last-installed-first' as const,
          'any' as const,
        ),
      })
      .map(rulesOf),
  });
