import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { findingKey } from '../../../core/findings/finding.ts';
import { layoutFindings } from '../../../core/findings/layout/findings.ts';
import type { NoFilmKind, Side } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { sidesArbitrary } from '../layout/arbitrary-layout.ts';
import { jobClean } from './sample-findings.ts';

const rects = fc.record({
  xMm: fc.integer({ min: -300, max: 6500 }),
  yMm: fc.integer({ min: -300, max: 2500 }),
  widthMm: fc.integer({ min: 1, max: 3000 }),
  heightMm: fc.integer({ min: 1, max: 2400 }),
});
const items = fc.array(rects, { maxLength: 3 });
const kinds = fc.constantFrom<NoFilmKind>('window', 'wheel-arch', 'lamp', 'sensor');

/** Sides with any layout and areas and no-film areas anywhere, also off the side. */
const sides: fc.Arbitrary<Side> = fc
  .tuple(sidesArbitrary, items, items, items, kinds)
  .map(([side, keep, hard, open, kind]) => ({
    ...side,
    noSeamAreas: keep.map((rect, n) => ({ id: `k${n}`, name: `Text ${n}`, rect })),
    ground: hard.map((rect, n) => ({ id: `h${n}`, name: `Recess ${n}`, kind: 'recess', rect })),
    noFilmAreas: open.map((rect, n) => ({ id: `o${n}`, name: `Opening ${n}`, kind, rect, clearanceMm: 20 })),
  }));

const pages = fc.record({
  x: fc.integer({ min: -20, max: 60 }),
  y: fc.integer({ min: -20, max: 40 }),
  width: fc.integer({ min: 300, max: 800 }),
  height: fc.integer({ min: 100, max: 320 }),
});

describe('findings of any side', () => {
  it('no two findings share a key, so that each is accepted for itself', () => {
    fc.assert(
      fc.property(sides, pages, (side, page) => {
        const job = { ...jobClean(), sides: [side] };
        const facts = { pages: new Map([[1, page]]) };
        const keys = layoutFindings(job, jobLayout(job, facts.pages), facts).map(findingKey);
        expect(keys.filter((key, index) => keys.indexOf(key) !== index)).toEqual([]);
      }),
      { numRuns: 120 },
    );
  });

  it('every sentence holds figures that can be read', () => {
    fc.assert(
      fc.property(sides, pages, fc.constantFrom('mm', 'in'), (side, page, displayUnit) => {
        const job = { ...jobClean(), sides: [side], displayUnit };
        const facts = { pages: new Map([[1, page]]) };
        for (const { message, remedy } of layoutFindings(job, jobLayout(job, facts.pages), facts)) {
          if (/NaN|undefined|Infinity|\s-\d|\d\.\d{3,}/.test(message + remedy)) throw new Error(message);
        }
      }),
      { numRuns: 120 },
    );
  });
});
