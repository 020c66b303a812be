import { describe, expect, it } from 'vitest';
import { sideFindings } from '../../../core/findings/layout/findings.ts';
import { outputFindings } from '../../../core/findings/layout/output-findings.ts';
import { layoutReplace } from '../../../core/job/edits/layout-replace.ts';
import { jobProductionSettings } from '../../../core/job/job-production-settings.ts';
import { regionPanels } from '../../../core/job/region.ts';
import type { Job } from '../../../core/job/schema.ts';
import { withFirstKind } from '../../../core/job/vehicles.ts';
import { shopTrims } from '../../../core/layout/shop-trims.ts';
import { jobLayout, sideLayout } from '../../../core/layout/side-layout.ts';
import { jobProduction } from '../../../core/production/job-production.ts';
import { earlierFromLayout, layoutFromPlan, planSideFromJob } from '../../../core/seams/plan-from-job.ts';
import type { PlanAim } from '../../../core/seams/plan-objective.ts';
import { planTaken } from '../../../core/seams/plan-taken.ts';
import { frameFilm, frameNet, sideFrame, treeParts } from '../../../core/seams/plan-tree.ts';
import { type Plan, plansFromSide } from '../../../core/seams/planner.ts';
import { ESTIMATED_COST_CARD } from '../../../core/shop/cost-card.ts';
import { DEFAULT_PRODUCTION } from '../../../core/shop/production-settings.ts';
import { smallJob } from '../../support/small-job.ts';

const job: Job = (() => {
  const [side, ...others] = smallJob().sides;
  const lined = {
    ...side!,
    bodyLines: [
      { id: 'b1', name: 'Belt', kind: 'crease', direction: 'horizontal', atMm: 611 },
      {
        id: 'b2',
        name: 'Door',
        kind: 'body-gap',
        direction: 'vertical',
        atMm: 1287,
        extent: { fromMm: 0, toMm: 1300 },
      },
    ],
    noSeamAreas: [{ id: 'k1', name: 'Name', rect: { xMm: 400, yMm: 200, widthMm: 1500, heightMm: 310 } }],
    ground: [
      { id: 'h1', name: 'Step', kind: 'recess', rect: { xMm: 2600, yMm: 900, widthMm: 300, heightMm: 200 } },
    ],
    noFilmAreas: [
      {
        id: 'o1',
        name: 'Window',
        kind: 'window',
        rect: { xMm: 2100, yMm: 150, widthMm: 600, heightMm: 400 },
        clearanceMm: 20,
      },
    ],
  } satisfies Job['sides'][number];
  return { ...smallJob(), sides: [lined, ...others] };
})();
const side = job.sides[0]!;

describe('a plan and the job', () => {
  it('reads everything that a side holds', () => {
    const planned = planSideFromJob(job, side);
    expect([planned.width, planned.height, planned.front]).toEqual([3100, 1300, 'right']);
    expect(planned.lines.map(({ id, axis, at, from, to }) => [id, axis, at, from, to])).toEqual([
      ['b1', 'horizontal', 611, 0, 3100],
      ['b2', 'vertical', 1287, 0, 1300],
    ]);
    expect(planned.noSeamAreas[0]).toEqual({ id: 'k1', rect: { x: 400, y: 200, width: 1500, height: 310 } });
    expect(planned.ground[0]?.kind).toBe('recess');
    expect(planned.noFilmAreas[0]?.margin).toBe(20);
    expect(planned.rolls[0]).toMatchObject({ width: 1524, sideMargin: 10, longest: 30_000 });
    expect(planned.longestPanel).toBe(6000);
    // 12.7 mm beside heads of 12.7 mm.
    expect(planned.rivetClearance).toBeCloseTo(19.05, 9);
    // The job's own way to lap: 15 of 25 mm underneath.
    expect(planned.laps).toEqual([{ name: 'body lap', under: 15, over: 10 }]);
    expect(planned.locked).toEqual([]);
    expect(earlierFromLayout(side.layout)).toEqual([{ axis: 'vertical', at: 1330 }]);
  });

  it('an hour of labor costs in plans what it costs in production', () => {
    const rates = (given: Partial<Job>) => {
      const priced = { ...job, ...given };
      return [
        planSideFromJob(priced, side).card.laborPerHour,
        jobProductionSettings(priced).figures.laborPerHour,
      ];
    };
    const figures = { ...DEFAULT_PRODUCTION.figures, laborPerHour: 52 };
    const costCard = { ...ESTIMATED_COST_CARD, laborPerHour: 67 };
    expect(rates({})).toEqual([45, 45]);
    expect(rates({ costCard })).toEqual([67, 67]);
    expect(rates({ costCard, production: { ...DEFAULT_PRODUCTION, figures } })).toEqual([52, 52]);
    expect(rates({ production: { ...DEFAULT_PRODUCTION, figures } })).toEqual([52, 52]);
    // All else of an older card counts as before.
    const old = { ...costCard, filmPerSquareMeter: 19 };
    expect(planSideFromJob({ ...job, costCard: old }, side).card.filmPerSquareMeter).toBe(19);
  });

  it('film and laminate cost a plan what they cost the ticket: the shelf item, else the cost card', () => {
    const shelf = (use: 'film' | 'laminate', pricePerM2: number) => ({
      id: use,
      use,
      name: use,
      kind: 'cast' as const,
      finish: '',
      thicknessUm: 50,
      adhesive: '',
      serviceYears: 7,
      widthMm: 1371.6,
      lengthMm: 45_720,
      pricePerM2,
      lotNumber: '',
    });
    const film = (pricePerM2: number) =>
      ({ ...shelf('film', pricePerM2), use: 'film', stretchLimitPercent: 130 }) as const;
    const laminate = { ...shelf('laminate', 7.1), use: 'laminate' } as const;
    const costCard = {
      ...ESTIMATED_COST_CARD,
      isEstimate: false,
      filmPerSquareMeter: 13,
      laminatePerSquareMeter: 8,
    };
    const prices = (given: Partial<Job>) => {
      const priced = { ...job, ...given };
      const { card } = planSideFromJob(priced, side);
      const { cost, film: area } = jobProduction(priced, jobLayout(priced)).estimates;
      const [part] = cost.inputs;
      return [
        card.filmPerSquareMeter,
        card.laminatePerSquareMeter,
        part!.name,
        Number((part!.value / area.value).toFixed(9)),
      ];
    };
    const on = (pricePerM2: number) => ({ ...DEFAULT_PRODUCTION, film: film(pricePerM2), laminate });
    expect(prices({ costCard, production: on(9.4) })).toEqual([9.4, 7.1, 'Film (shelf price)', 9.4]);
    const laminated = { ...job.film, name: 'Laminate' };
    expect(prices({ costCard, laminate: laminated })).toEqual([13, 8, 'Film (cost card)', 13]);
    expect(prices({ costCard, production: on(0) })).toEqual([13, 7.1, 'Film (cost card)', 13]);
    expect(prices({ laminate: laminated })).toEqual([14, 9, 'Film (estimated price)', 14]);
    // No laminate, nothing to pay.
    expect(prices({})).toEqual([14, 0, 'Film (estimated price)', 14]);
  });

  it('lead-in and tail of the roll hold no panel', () => {
    const roll = (rollLengthMm: number) =>
      planSideFromJob({ ...job, printer: { ...job.printer, rollLengthMm } }, side).rolls[0]!.longest;
    // 200 mm at each end.
    expect([roll(3300), roll(30_399), roll(45_720)]).toEqual([2900, 29_999, 30_000]);
  });

  it('what is not laminated has no laminate among its figures', () => {
    const figures = (given: Partial<Job>) => {
      const outcome = plansFromSide(planSideFromJob({ ...job, ...given }, side), { aims: ['lowest-cost'] });
      if (outcome.kind !== 'plans') throw new Error(outcome.kind);
      return outcome.plans[0]!.figures;
    };
    expect(figures({})).toMatchObject({ laminateSquareMeters: 0, laminateMoney: 0 });
    const { laminateSquareMeters, laminateMoney } = figures({ laminate: job.film });
    expect(laminateMoney).toBeCloseTo(9 * laminateSquareMeters, 9);
    expect(laminateSquareMeters).toBeGreaterThan(4);
  });

  it('a trailer is lapped to shift', () => {
    const trailer: Job = withFirstKind(job, 'trailer');
    expect(planSideFromJob(trailer, side).laps).toEqual([{ name: 'shift lap', under: 54, over: 36 }]);
  });

  it('a plan laid into the job has the panels and films that the planner reckoned with', () => {
    const planned = planSideFromJob(job, side);
    const outcome = plansFromSide(planned);
    if (outcome.kind !== 'plans') throw new Error(outcome.kind);
    for (const { tree } of outcome.plans) {
      const replaced = layoutReplace(job, { sideId: side.id, layout: layoutFromPlan(planned, tree) });
      if (!replaced.ok) throw new Error(replaced.problem.message);
      const layout = sideLayout(replaced.value, replaced.value.sides[0]!);
      const { panels, seams } = treeParts(tree, sideFrame(planned));
      const key = (r: { x: number; y: number; width: number; height: number }) =>
        [r.x, r.y, r.width, r.height].map((mm) => mm.toFixed(6)).join(' ');
      expect(layout.panels.map(({ net }) => key(net)).sort()).toEqual(
        panels.map(({ frame }) => key(frameNet(frame))).sort(),
      );
      const films = new Map(layout.panels.map(({ net, film }) => [key(net), film]));
      for (const { frame } of panels) {
        const film = films.get(key(frameNet(frame)))!;
        expect(film.width).toBeCloseTo(frameFilm(frame).width, 6);
        expect(film.height).toBeCloseTo(frameFilm(frame).height, 6);
      }
      expect(layout.seams).toHaveLength(seams.length);
    }
  });

  const openSide = (changes: Partial<Job['sides'][number]>, output: Partial<Job['output']> = {}): Job => ({
    ...job,
    output: { ...job.output, ...output },
    sides: [{ ...side, bodyLines: [], noSeamAreas: [], ground: [], noFilmAreas: [], ...changes }],
  });
  const rollerDoor = {
    id: 'o1',
    name: 'Roller door',
    kind: 'other' as const,
    rect: { xMm: 1210, yMm: 0, widthMm: 790, heightMm: 1300 },
    clearanceMm: 20,
  };
  const jobs: [string, Job][] = [
    ['a side with an opening from top to bottom', openSide({ noFilmAreas: [rollerDoor] })],
    ['a side without bleed', openSide({ bleed: { top: 0, right: 17, bottom: 0, left: 0 } })],
    [
      'a side longer than a page',
      openSide(
        { artworkRect: { ...side.artworkRect, widthMm: 3 * side.artworkRect.widthMm } },
        { size: { kind: 'true-size' } },
      ),
    ],
  ];
  it.each(jobs)(
    '%s: panels and shop trims are those of the ticket, and output stops for none',
    (_, tried) => {
      const planned = planSideFromJob(tried, tried.sides[0]!);
      // Two laps: one that is trimmed on the vehicle, one in the shop.
      for (const lap of [planned.laps[0]!, { name: 'flush', under: 25, over: 0 }]) {
        const outcome = plansFromSide({ ...planned, laps: [lap] });
        if (outcome.kind !== 'plans') throw new Error(outcome.kind);
        for (const { tree, figures } of outcome.plans) {
          const sideId = tried.sides[0]!.id;
          const replaced = planTaken(tried, sideId, {
            layout: layoutFromPlan(planned, tree),
            rollWidthMm: tried.printer.rollWidthMm,
          });
          if (!replaced.ok) throw new Error(replaced.problem.message);
          const layout = sideLayout(replaced.value, replaced.value.sides[0]!);
          expect(figures.panels).toBe(layout.panels.length);
          expect(figures.shopTrims).toBe(shopTrims(layout).length);
          const stops = [...sideFindings(replaced.value, layout), ...outputFindings(replaced.value, [layout])]
            .filter(({ severity }) => severity === 'stop')
            .map(({ code }) => code);
          expect(stops).toEqual([]);
        }
      }
    },
  );

  it('nothing is printed and nothing counted where a panel lies in an opening', () => {
    const tried = openSide({ noFilmAreas: [rollerDoor] });
    const planned = planSideFromJob(tried, tried.sides[0]!);
    const outcome = plansFromSide(planned, { layouts: 'one-way' });
    if (outcome.kind !== 'plans') throw new Error(outcome.kind);
    const least = outcome.plans.find(({ aims }) => aims.includes('least-film'))!;
    const { panels } = treeParts(least.tree, sideFrame(planned));
    expect([panels.length, least.figures.panels]).toEqual([3, 2]);
    // Two seams in the door, as near to its edges as its frame allows.
    expect(panels.slice(0, 2).map(({ frame }) => frame.right)).toEqual([1230, 1980]);
  });

  it('SP28 no page limits a plan: the size of the panel files follows when it is taken', () => {
    const long = openSide({ artworkRect: { ...side.artworkRect, widthMm: 560 } });
    const longest = (tried: Job, aim: PlanAim) => {
      const planned = planSideFromJob(tried, tried.sides[0]!);
      const outcome = plansFromSide(planned, { aims: [aim] });
      if (outcome.kind !== 'plans') throw new Error(outcome.kind);
      const [{ tree, figures, stock }] = outcome.plans as [Plan];
      const taken = planTaken(tried, side.id, {
        layout: layoutFromPlan(planned, tree),
        rollWidthMm: stock.roll.width,
      });
      if (!taken.ok) throw new Error(taken.problem.message);
      const [layout] = jobLayout(taken.value);
      const stops = outputFindings(taken.value, [layout!]).filter(({ severity }) => severity === 'stop');
      expect(stops).toEqual([]);
      return [figures.longestFilm, taken.value.output.size] as const;
    };
    // 5,600 mm with 50 mm of bleed and 30 mm of border at each end, beyond a page of 5,080 mm.
    expect(longest(long, 'fewest-panels')).toEqual([5760, { kind: 'reduction', factor: 2 }]);
    const sized = (size: Job['output']['size']) => ({ ...long, output: { ...long.output, size } });
    const third = { kind: 'reduction', factor: 3 } as const;
    expect(longest(sized(third), 'fewest-panels')).toEqual([5760, third]);
    expect(longest(sized({ kind: 'user-unit' }), 'fewest-panels')).toEqual([5760, { kind: 'user-unit' }]);
    // The crew's longest limits it, and then the page holds it at finished size.
    const crew = { ...long, limits: { ...long.limits, longestPanelMm: 4000 } };
    const [film, size] = longest(crew, 'fewest-panels');
    expect(film).toBeLessThanOrEqual(4000);
    expect(size).toEqual({ kind: 'true-size' });
  });

  it('a plan for a wider film brings the film with it, so that its panels fit', () => {
    const high = openSide({
      artworkRect: { ...side.artworkRect, heightMm: 1.15 * side.artworkRect.heightMm },
    });
    const planned = planSideFromJob(high, high.sides[0]!);
    const rolls = [planned.rolls[0]!, { ...planned.rolls[0]!, name: 'wide', width: 2032 }];
    const outcome = plansFromSide({ ...planned, rolls });
    if (outcome.kind !== 'plans') throw new Error(outcome.kind);
    const wide = outcome.plans.find(({ stock }) => stock.roll.width === 2032)!;
    const taken = planTaken(high, side.id, { layout: layoutFromPlan(planned, wide.tree), rollWidthMm: 2032 });
    if (!taken.ok) throw new Error(taken.problem.message);
    expect(taken.value.printer.rollWidthMm).toBe(2032);
    const layout = sideLayout(taken.value, taken.value.sides[0]!);
    expect(sideFindings(taken.value, layout).filter(({ severity }) => severity === 'stop')).toEqual([]);
    const kept = planTaken(high, side.id, { layout: high.sides[0]!.layout, rollWidthMm: 1524 });
    expect(kept).toMatchObject({ ok: true, value: { printer: high.printer } });
  });

  it('locked seams and ids of what stays come through', () => {
    const locked: Job = {
      ...job,
      sides: [
        {
          ...side,
          layout: {
            kind: 'split',
            seams: 'vertical',
            joints: [
              { id: 's1', kind: 'lap', atMm: 1330, firstMm: 15, secondMm: 10, top: 'second', locked: true },
            ],
            parts: [
              { kind: 'panel', id: 'p1' },
              { kind: 'panel', id: 'p2' },
            ],
          },
          bodyLines: [],
          noSeamAreas: [],
          noFilmAreas: [],
        },
      ],
    };
    const planned = planSideFromJob(locked, locked.sides[0]!, { card: planSideFromJob(job, side).card });
    expect(planned.locked).toEqual([
      {
        axis: 'vertical',
        at: 1330,
        from: 0,
        to: 1300,
        joint: { kind: 'lap', first: 15, second: 10, top: 'second' },
      },
    ]);
    const outcome = plansFromSide(planned);
    if (outcome.kind !== 'plans') throw new Error(outcome.kind);
    const { tree } = outcome.plans.find(({ aims }) => aims.includes('fewest-panels'))!;
    const replaced = layoutReplace(locked, {
      sideId: side.id,
      layout: layoutFromPlan(planned, tree),
    });
    if (!replaced.ok) throw new Error(replaced.problem.message);
    const { layout } = replaced.value.sides[0]!;
    expect(layout).toMatchObject({ joints: [{ id: 's1', atMm: 1330, locked: true }] });
    expect(regionPanels(layout).map(({ id }) => id)).toEqual(['p1', 'p2']);
  });
});
