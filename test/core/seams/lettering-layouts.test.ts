/** Layouts of the demo artwork where nobody has drawn lines or areas: what the planner knows is where lettering stands. */
import { describe, expect, it } from 'vitest';
import { jobEmpty } from '../../../core/job/defaults.ts';
import { sideAdd } from '../../../core/job/edits/edits.ts';
import { sideSuggested } from '../../../core/job/edits/side-suggested.ts';
import type { Job, Side } from '../../../core/job/schema.ts';
import { type PlanExtras, planSideFromJob } from '../../../core/seams/plan-from-job.ts';
import type { PlanAim } from '../../../core/seams/plan-objective.ts';
import type { PlanSide } from '../../../core/seams/plan-side.ts';
import { type Plan, plansFromSide } from '../../../core/seams/planner.ts';
import { seamParts } from '../../../core/seams/seam-parts.ts';
import { sectionSpaces } from '../../../core/seams/section-spaces.ts';
import { costCardSchema } from '../../../core/shop/cost-card.ts';
import { BOOKMOBILE, type SceneSide, TRAILER } from '../../demo-art/scene.ts';
import { lettering, planSide, treeSeams } from '../../support/plan-sides.ts';

/** A job as it begins: a side as large as the page, and no setting touched. */
function begun({ widthMm, heightMm, page }: SceneSide): { readonly job: Job; readonly side: Side } {
  const empty = {
    ...jobEmpty({
      id: 'new',
      number: 'N-1',
      name: 'New',
      customer: 'Alder County Library',
      date: '2026-03-09',
    }),
    scale: 10,
  };
  const rect = { x: 0, y: 0, width: widthMm / 10, height: heightMm / 10 };
  const added = sideAdd(empty, { side: sideSuggested(empty, page, rect) });
  if (!added.ok) throw new Error(added.problem.message);
  return { job: added.value, side: added.value.sides[0]! };
}

const letteringOf = ({ lettering: drawn }: SceneSide): NonNullable<PlanExtras['lettering']> =>
  drawn.map(({ id, x, y, width, height }) => lettering(id, x, y, width, height));

function cheapest(side: PlanSide): Plan {
  const outcome = plansFromSide(side);
  if (outcome.kind !== 'plans') throw new Error(JSON.stringify(outcome));
  return outcome.plans.find(({ aims }) => aims.includes('lowest-cost'))!;
}

const scenes = [...BOOKMOBILE.sides, ...TRAILER.sides].map(
  (scene) => [`${scene.name}, ${scene.widthMm} mm`, scene] as const,
);

describe('the demo artwork with default settings', () => {
  it.each(scenes)('%s: the best layout cuts no lettering', (_, scene) => {
    const { job, side } = begun(scene);
    const planned = planSideFromJob(job, side, { lettering: letteringOf(scene) });
    const plan = cheapest(planned);
    expect(plan.figures.letteringCrossed).toBe(0);
    for (const { place } of treeSeams(planned, plan.tree)) {
      const cut = scene.lettering.filter(({ x, y, width, height }) =>
        place.axis === 'vertical'
          ? x < place.at && place.at < x + width && y < place.to && place.from < y + height
          : y < place.at && place.at < y + height && x < place.to && place.from < x + width,
      );
      expect(cut.map(({ text }) => text)).toEqual([]);
    }
    // Every panel is one that the crew installs.
    expect(plan.figures.longestFilm).toBeLessThanOrEqual(6000);
  });
});

describe('spaces between letterings', () => {
  const side = planSide({
    width: 9000,
    height: 2600,
    lettering: [
      lettering('title', 600, 300, 3000, 400),
      lettering('name', 4100, 300, 4200, 400),
      lettering('phone', 3000, 1500, 2000, 300),
    ],
  });

  it('are found across the side, and in the rows that they part', () => {
    const spaces = sectionSpaces(side);
    const at = (axis: 'vertical' | 'horizontal') =>
      spaces
        .filter((space) => space.axis === axis)
        .map((space) => space.at)
        .sort((a, b) => a - b);
    // Right across, 25 mm clear of the letters; between title and name only in the upper row.
    expect(at('horizontal')).toEqual(expect.arrayContaining([725, 1475, 1825]));
    expect(at('vertical')).toEqual(expect.arrayContaining([3625, 4075]));
    for (const { axis, at: place } of spaces) {
      const isThrough = (from: number, size: number) => from < place && place < from + size;
      const all = side.lettering.every(({ rect }) =>
        axis === 'vertical' ? isThrough(rect.x, rect.width) : isThrough(rect.y, rect.height),
      );
      expect(all).toBe(false);
    }
  });

  it('lie between the words of a line too, where a seam cuts no letter', () => {
    const words = [
      { x: 700, y: 500, width: 3900, height: 610 },
      { x: 4900, y: 500, width: 3300, height: 610 },
    ];
    const line = { ...lettering('name', 700, 500, 7500, 610), words };
    const across = planSide({ width: 9000, height: 1200, lettering: [line], longestPanel: 6000 });
    const plan = cheapest(across);
    const [seam] = treeSeams(across, plan.tree);
    expect(plan.figures.letteringCrossed).toBe(0);
    expect(seam!.place.axis).toBe('vertical');
    expect(seam!.place.at).toBeGreaterThanOrEqual(4600);
    expect(seam!.place.at).toBeLessThanOrEqual(4900);
  });

  it('are none where there is no lettering and panels may run all along', () => {
    expect(sectionSpaces({ ...side, lettering: [] })).toEqual([]);
    // Two rows of film, where no panel may be as long as the side.
    expect(sectionSpaces({ ...side, lettering: [], longestPanel: 6000 })).toEqual([
      { axis: 'horizontal', at: 1300 },
    ]);
  });
});

describe('large lettering on a side that is little wider than the film', () => {
  // The rear of a box body: a name of 800 mm over a line of text, on film of 1,370 mm.
  const side = planSide({
    width: 2400,
    height: 2500,
    lettering: [lettering('name', 150, 900, 2100, 800), lettering('text', 300, 1950, 1800, 150)],
  });

  it('is crossed by no seam of the layout that crosses least, though a third panel costs more', () => {
    const outcome = plansFromSide(side);
    if (outcome.kind !== 'plans') throw new Error(JSON.stringify(outcome));
    const named = (aim: PlanAim) => outcome.plans.find(({ aims }) => aims.includes(aim))!;
    const [low, whole] = [named('lowest-cost'), named('least-lettering')];
    expect([low.figures.letteringCrossed, low.figures.panels]).toEqual([1, 2]);
    expect([whole.figures.letteringCrossed, whole.figures.panels]).toEqual([0, 3]);
    expect(whole.figures.money).toBeGreaterThan(low.figures.money);
    expect(treeSeams(side, whole.tree).map(({ place }) => place.axis)).toEqual(['horizontal', 'horizontal']);
  });
});

describe('what a layout is charged for', () => {
  it('SP30 a seam along a line pays for each letter that it runs through', () => {
    const side = planSide({ width: 5000, height: 2400, lettering: [lettering('word', 700, 900, 3000, 300)] });
    const cuts = (axis: 'vertical' | 'horizontal', at: number, from: number, to: number) =>
      seamParts(side, { axis, at, from, to }).letteringCuts;
    // Capitals of 300 mm cost half as much as small ones; 3,000 mm hold ten of them, of which a seam to 1,600 mm meets three.
    expect(cuts('vertical', 1000, 0, 2400)).toBeCloseTo(0.5, 9);
    expect(cuts('horizontal', 1000, 0, 5000)).toBeCloseTo(5, 9);
    expect(cuts('horizontal', 1000, 0, 1600)).toBeCloseTo(1.5, 9);
    expect(cuts('horizontal', 1250, 0, 5000)).toBe(0);
  });

  it('SP30 a cut through high letters costs less than one through small ones', () => {
    const card = costCardSchema.parse({ letteringMinutesPerCrossing: 40 });
    const money = (height: number) => {
      const side = planSide({
        width: 2600,
        height: 2400,
        card,
        lettering: [lettering('word', 200, 900, 2200, height)],
        locked: [{ axis: 'vertical', at: 1310, from: 0, to: 2400 }],
      });
      const { reasons } = cheapest(side);
      return reasons.find(({ isLocked }) => isLocked)!.money.lettering;
    };
    // 40 minutes at 45 an hour; capitals of 600 mm cost a quarter of those of up to 150 mm.
    expect(money(120)).toBeCloseTo(30, 9);
    expect(money(150)).toBeCloseTo(30, 9);
    expect(money(600)).toBeCloseTo(7.5, 9);
  });

  it('SP29 installing takes longer with length and with people', () => {
    const plan = (width: number) => {
      const card = costCardSchema.parse({
        installMinutesPerSquareMeter: 0,
        panelInstallMinutes: 7,
        panelInstallMinutesPerMeter: 2,
      });
      const side = planSide({ width, height: 860, card });
      return cheapest(side).figures;
    };
    // One panel, 50 mm of bleed and 20 mm of border all round: 2 people from 3 m of film, 3 from 6 m.
    const minutes = (people: number, film: number) => 7 + (people * 2 * (film + 1000)) / 1000;
    expect(plan(2860)).toMatchObject({ people: 1, longestFilm: 3000, installMinutes: minutes(1, 3000) });
    expect(plan(2861)).toMatchObject({ people: 2, longestFilm: 3001, installMinutes: minutes(2, 3001) });
    expect(plan(5860)).toMatchObject({ people: 2, installMinutes: minutes(2, 6000) });
    expect(plan(5900)).toMatchObject({ people: 3, installMinutes: minutes(3, 6040) });
  });
});
