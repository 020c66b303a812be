import { describe, expect, it } from 'vitest';
import { jobInvariantProblem } from '../../../core/job/job-invariants.ts';
import { regionJoints } from '../../../core/job/region.ts';
import type { BodyLine, Job } from '../../../core/job/schema.ts';
import { sideLayout } from '../../../core/layout/side-layout.ts';
import { sideTotals } from '../../../core/layout/side-totals.ts';
import { pathValue } from '../../../core/measure/path.ts';
import { pictureEnergyFromBusy } from '../../../core/seams/picture-energy.ts';
import { planAnswer } from '../../../core/seams/plan-answer.ts';
import { jointFromLap } from '../../../core/seams/plan-side.ts';
import { planTaken } from '../../../core/seams/plan-taken.ts';
import { isSeamAllowed } from '../../../core/seams/seam-limits.ts';
import { crossingMinutes, seamParts } from '../../../core/seams/seam-parts.ts';
import { seamCostAt } from '../../../core/seams/seam-units.ts';
import { area, BODY_LAP, lettering, planSide, shapedLine } from '../../support/plan-sides.ts';
import { smallJob } from '../../support/small-job.ts';

/** Down from 1250 at x = 200 to 1370 at 1600, up to 1295.5 at 2900. */
const belt: BodyLine = {
  id: 'belt',
  name: 'Belt',
  kind: 'molding',
  direction: 'horizontal',
  atMm: 1250,
  shape: [
    { alongMm: 200, offMm: 0 },
    { alongMm: 1600, offMm: 120 },
    { alongMm: 2900, offMm: 45.5 },
  ],
};

/** A side of 3,100 × 2,600 mm, higher than its film is wide. */
const high: Job = (() => {
  const job = smallJob();
  const side = job.sides[0]!;
  const rect = { ...side.artworkRect, heightMm: 2 * side.artworkRect.heightMm };
  return { ...job, sides: [{ ...side, artworkRect: rect, bodyLines: [belt] }] };
})();

const answerOf = (job: Job) => {
  const request = { job, side: job.sides[0]!, layouts: 'sections', otherRollWidthsMm: [] } as const;
  const { outcome } = planAnswer(request, () => undefined);
  if (outcome.kind !== 'plans') throw new Error(outcome.kind);
  return outcome.plans;
};

describe('a plan along a line with shape', () => {
  it('becomes a layout whose seam follows the line, with the film that its panels take', () => {
    const plan = answerOf(high).find(({ aims }) => aims.includes('best-hidden'))!;
    const followed = regionJoints(plan.layout).filter(({ follows }) => follows === 'belt');
    expect(followed.length).toBeGreaterThan(0);
    const taken = planTaken(high, 'left', plan);
    if (!taken.ok) throw new Error(taken.problem.message);
    expect(jobInvariantProblem(taken.value)).toBeUndefined();
    const layout = sideLayout(taken.value, taken.value.sides[0]!);
    const [joint] = regionJoints(taken.value.sides[0]!.layout).filter(({ follows }) => follows);
    expect(joint).toMatchObject({ atMm: 1250, shape: belt.shape });
    expect(plan.figures.panels).toBe(layout.panels.length);
    const longest = Math.max(...layout.panels.flatMap(({ film }) => [film.width, film.height]));
    expect(plan.figures.longestFilm).toBeCloseTo(longest, 6);
    const reason = plan.reasons.find(({ seam }) => seam.place.path)!;
    expect(reason.lineIds).toEqual(['belt']);
    // By the job's own layouts: with the seam along the line, and straight at its mean over the whole side.
    const straight = (region: typeof plan.layout): typeof plan.layout =>
      region.kind === 'panel'
        ? region
        : {
            ...region,
            joints: region.joints.map(({ shape, follows: _, ...rest }) =>
              shape ? { ...rest, atMm: meanOf((x) => pathValue(reason.seam.place.path!, x), 0, 3100) } : rest,
            ),
            parts: region.parts.map(straight),
          };
    const without = sideLayout(high, { ...high.sides[0]!, layout: straight(plan.layout) });
    const more = (sideTotals(layout).filmAreaMm2 - sideTotals(without).filmAreaMm2) / 1e6;
    expect(reason.shapeFilmSquareMeters).toBeCloseTo(more, 3);
    expect(more).toBeGreaterThan(0.1);
  });

  it('a locked seam that follows a line stays as it is', () => {
    const plan = answerOf(high).find(({ aims }) => aims.includes('best-hidden'))!;
    const lock = (region: typeof plan.layout): typeof plan.layout =>
      region.kind === 'panel'
        ? region
        : {
            ...region,
            joints: region.joints.map((joint) => (joint.follows ? { ...joint, locked: true } : joint)),
            parts: region.parts.map(lock),
          };
    const taken = planTaken(high, 'left', { ...plan, layout: lock(plan.layout) });
    if (!taken.ok) throw new Error(taken.problem.message);
    for (const { layout } of answerOf(taken.value)) {
      const kept = regionJoints(layout).filter(({ locked }) => locked);
      expect(kept).toHaveLength(regionJoints(plan.layout).filter(({ follows }) => follows).length);
      expect(kept[0]).toMatchObject({ follows: 'belt', shape: belt.shape });
    }
  });
});

/** A numerical mean at 20,000 places: nothing of the program's geometry is in it. */
function meanOf(value: (at: number) => number, from: number, to: number): number {
  const count = 20_000;
  let sum = 0;
  for (let n = 0; n < count; n++) sum += value(from + ((to - from) * (n + 0.5)) / count);
  return sum / count;
}

describe('what a seam along a line with shape meets', () => {
  const path = [
    { along: 300, across: 700 },
    { along: 1900, across: 1100 },
    { along: 2700, across: 860 },
  ];
  const line = shapedLine({ id: 'belt', kind: 'crease', axis: 'horizontal', path });
  const busy = Float32Array.from({ length: 100 * 50 }, (_, n) => ((n * 37) % 101) / 101);
  const side = planSide({
    width: 4000,
    height: 2000,
    shapedLines: [line],
    ground: [{ ...area('dish', 700, 750, 500, 400), kind: 'recess' }],
    noFilmAreas: [{ ...area('window', 1500, 950, 900, 200), margin: 0 }],
    lettering: [lettering('name', 2500, 800, 300, 150)],
    energy: pictureEnergyFromBusy(busy, 100, 50, 40),
  });
  const place = { axis: 'horizontal', at: 700, from: 0, to: 4000, path } as const;
  const slope = (x: number) => (x < 300 || x > 2700 ? 0 : x < 1900 ? 400 / 1600 : -240 / 800);
  const yAt = (x: number) =>
    x < 300 ? 700 : x < 1900 ? 700 + (x - 300) / 4 : x < 2700 ? 1100 - 0.3 * (x - 1900) : 860;
  /** Meters along the line wherever a test holds, by numerical integration. */
  const meters = (holds: (x: number, y: number) => boolean) =>
    (4000 * meanOf((x) => (holds(x, yAt(x)) ? Math.hypot(1, slope(x)) : 0), 0, 4000)) / 1000;

  it('SP1 counts true lengths, each millimeter once', () => {
    const parts = seamParts(side, place);
    const isOpen = (x: number, y: number) => x > 1500 && x < 2400 && y > 950 && y < 1150;
    const isDish = (x: number, y: number) => x > 700 && x < 1200 && y > 750 && y < 1150;
    expect(parts.ground.open).toBeCloseTo(meters(isOpen), 3);
    expect(parts.ground.recess).toBeCloseTo(meters(isDish), 3);
    expect(parts.ground.flat).toBeCloseTo(
      meters((x, y) => !isOpen(x, y) && !isDish(x, y)),
      3,
    );
    expect(parts.online.crease).toBeCloseTo(
      meters((x, y) => x > 300 && x < 2700 && !isOpen(x, y)),
      3,
    );
    expect(parts.lettering).toBe(1);
  });

  it('reads the picture in its band, which goes along with it', () => {
    const joint = jointFromLap(BODY_LAP, 'horizontal', 'right');
    const { card } = side;
    const cells = (x: number, y: number) => busy[Math.floor(y / 40) * 100 + Math.floor(x / 40)]!;
    // 25 mm below the seam: the mean of the band, along the whole line.
    const expected =
      (4000 *
        meanOf(
          (x) =>
            Math.hypot(1, slope(x)) * meanOfBand((off) => cells(x, yAt(x) + off), -joint.second, joint.first),
          0,
          4000,
        )) /
      1000;
    const { matchingMinutes } = seamCostAt(side, place, joint);
    const cuts = seamParts(side, place).letteringCuts * card.letteringMinutesPerCrossing;
    expect((matchingMinutes - cuts) / card.pictureMinutesPerMeter).toBeCloseTo(expected, 1);
  });

  it('SP3 keeps off what its line keeps off, where it runs and not elsewhere', () => {
    const joint = jointFromLap(BODY_LAP, 'horizontal', 'right');
    const allowed = (x: number, y: number) =>
      isSeamAllowed({ ...side, noSeamAreas: [area('logo', x, y, 100, 40)] }, place, joint);
    expect([allowed(400, 640), allowed(400, 720), allowed(1850, 1080), allowed(1850, 720)]).toEqual([
      true,
      false,
      false,
      true,
    ]);
  });

  it('SP1 a molding with shape costs its whole length to be carried across', () => {
    const molding = { ...side, noFilmAreas: [], shapedLines: [{ ...line, kind: 'molding' as const }] };
    // 4 minutes a meter: √(1,600² + 400²) + √(800² + 240²) mm.
    expect(crossingMinutes(molding)).toBeCloseTo(4 * (1.649_242_250_247 + 0.835_224_520_713), 6);
  });
});

function meanOfBand(value: (off: number) => number, from: number, to: number): number {
  let sum = 0;
  for (let n = 0; n < 20; n++) sum += value(from + ((to - from) * (n + 0.5)) / 20);
  return sum / 20;
}
