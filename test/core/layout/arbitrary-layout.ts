import fc from 'fast-check';
import type { Joint, JointKind, Region, SeamDirection, Side } from '../../../core/job/schema.ts';
import { sideSample } from '../job/sample-job.ts';

/** How a region is cut: a panel, or a split with parts of the given shares. */
type Cut =
  | {
      readonly seams: SeamDirection;
      readonly parts: readonly { share: number; cut: Cut | undefined; joint: JointShape }[];
    }
  | undefined;

interface JointShape {
  readonly kind: JointKind;
  readonly firstMm: number;
  readonly secondMm: number;
  readonly top: 'first' | 'second';
}

const jointShape: fc.Arbitrary<JointShape> = fc.record({
  kind: fc.constantFrom<JointKind>('lap', 'lap', 'lap', 'butt', 'gap'),
  firstMm: fc.integer({ min: 0, max: 9 }),
  secondMm: fc.integer({ min: 0, max: 9 }),
  top: fc.constantFrom('first', 'second'),
});

const cuts: fc.Arbitrary<Cut> = fc.letrec<{ cut: Cut }>((tie) => ({
  cut: fc.option(
    fc.record({
      seams: fc.constantFrom<SeamDirection>('horizontal', 'vertical'),
      parts: fc.array(
        fc.record({ share: fc.integer({ min: 3, max: 9 }), cut: tie('cut'), joint: jointShape }),
        { minLength: 2, maxLength: 5 },
      ),
    }),
    { nil: undefined, maxDepth: 3, depthSize: 'medium' },
  ),
})).cut;

/** Parts take at least 3 of 39 shares: cut from this, they are wider than both their allowances. */
const LEAST_CUT_MM = 400;

/**
 * Sides with layouts of up to three levels and mixed joints on the sample's 6130 × 2270 mm. Allowances are
 * at most 9 mm, so they stay within the panel beside them.
 */
export const sidesArbitrary: fc.Arbitrary<Side> = fc
  .record({ cut: cuts, front: fc.constantFrom<Side['front']>('left', 'right', 'none') })
  .map(({ cut, front }) => {
    let last = 0;
    const build = (given: Cut, x: [number, number], y: [number, number]): Region => {
      last += 1;
      const [from, to] = given?.seams === 'vertical' ? x : y;
      if (!given || to - from < LEAST_CUT_MM) return { kind: 'panel', id: `p${last}` };
      const total = given.parts.reduce((sum, { share }) => sum + share, 0);
      let reached = 0;
      const ends = given.parts.map(({ share }) => {
        reached += share;
        return from + ((to - from) * reached) / total;
      });
      const joints = given.parts.slice(0, -1).map(({ joint }, index): Joint => {
        last += 1;
        const none = joint.kind === 'butt' ? { firstMm: 0, secondMm: 0 } : {};
        return { ...joint, ...none, id: `j${last}`, atMm: ends[index]! };
      });
      const parts = given.parts.map((part, index) => {
        const slice: [number, number] = [
          ends[index - 1] ?? from,
          index === given.parts.length - 1 ? to : ends[index]!,
        ];
        return given.seams === 'vertical' ? build(part.cut, slice, y) : build(part.cut, x, slice);
      });
      return { kind: 'split', seams: given.seams, joints, parts };
    };
    return sideSample({ front, layout: build(cut, [0, 6130], [0, 2270]) });
  });
