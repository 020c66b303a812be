/** Plans for one side of a job, as they cross to a screen or a terminal: plain data, ready to be laid out. */
import { z } from 'zod';
import { type Job, OutputSize, Region, type Side } from '../job/schema.ts';
import { firstOf } from '../measure/present.ts';
import { listSchema, mmSchema } from '../measure/schemas.ts';
import type { Mm } from '../measure/units.ts';
import { LetteringBox } from './lettering-boxes.ts';
import type { PictureEnergy } from './picture-energy.ts';
import { PlanFigures } from './plan-figures.ts';
import { earlierFromLayout, layoutFromPlan, planSideFromJob, rollForSide } from './plan-from-job.ts';
import { LimitBroken } from './plan-limits.ts';
import { PlanAim } from './plan-objective.ts';
import { Relaxation } from './plan-relaxations.ts';
import type { FilmRoll, PlanSide } from './plan-side.ts';
import { planTaken } from './plan-taken.ts';
import { type Plan, PlanId, type PlanOutcome, plansFromSide } from './planner.ts';
import { quietLines } from './quiet-lines.ts';
import { SeamReason } from './seam-reasons.ts';
import type { SideReading } from './side-reading.ts';

export interface PlanRequest {
  readonly job: Job;
  readonly side: Side;
  /** Data from a rendering of exactly the side; without it the plan ignores the picture. */
  readonly reading?: SideReading;
  readonly layouts: 'sections' | 'one-way';
  /** Widths of other available rolls, in true mm. */
  readonly otherRollWidthsMm: readonly Mm[];
}

/** One plan with its layout. */
export const PlanOffer = z.strictObject({
  id: PlanId,
  aims: listSchema(PlanAim),
  rollName: z.string(),
  rollWidthMm: mmSchema,
  layout: Region,
  /** Page size for the job's panel files once the plan is used, large enough for its panels. */
  outputSize: OutputSize,
  figures: PlanFigures,
  reasons: listSchema(SeamReason),
});
export type PlanOffer = z.infer<typeof PlanOffer>;

/** How much picture a seam would have to register, along the top (vertical seams) and along the side. */
export const QuietCurve = z.strictObject({
  stepMm: mmSchema,
  /** Resolution of the rendering behind the curve, at finished size. */
  ppi: z.number(),
  busyMeters: listSchema(z.number()),
});
export type QuietCurve = z.infer<typeof QuietCurve>;

export const PlanAnswer = z.strictObject({
  /** Whether the layouts use a picture of the side, not only its geometry. */
  isArtworkRead: z.boolean(),
  outcome: z.discriminatedUnion('kind', [
    z.strictObject({ kind: z.literal('plans'), plans: listSchema(PlanOffer) }),
    z.strictObject({ kind: z.literal('infeasible'), relaxations: listSchema(Relaxation) }),
    z.strictObject({ kind: z.literal('problem'), message: z.string(), remedy: z.string() }),
  ]),
  /** Equal vertical panels from the rear forward, even where they break limits. */
  equalVertical: PlanOffer.extend({ broken: listSchema(LimitBroken), isDominated: z.boolean() }).optional(),
  /** Areas that look like lettering, for the operator to accept as no-seam areas. */
  lettering: listSchema(LetteringBox),
  quiet: z.strictObject({ vertical: QuietCurve, horizontal: QuietCurve }).optional(),
});
export type PlanAnswer = z.infer<typeof PlanAnswer>;

const CURVE_POINTS = 1200;

export function planAnswer(
  { job, side, reading, layouts, otherRollWidthsMm }: PlanRequest,
  onProgress: (share: number) => boolean | undefined,
): PlanAnswer {
  const { energy, lettering = [] } = reading ?? {};
  const present = earlierFromLayout(side.layout);
  const planSide = planSideFromJob(job, side, {
    rolls: rollsAtHand(job, side, otherRollWidthsMm),
    lettering: lettering.map(({ rect, words, capHeightMm, strokes }, index) => ({
      id: `lettering-${index + 1}`,
      rect,
      words,
      capHeightMm,
      strokes,
      // Likely lettering is avoided in the same way as certain lettering.
      isSure: true,
    })),
    ...(energy && { energy }),
    ...(present.length > 0 && { earlier: present }),
  });
  const outcome = plansFromSide(planSide, { layouts, onProgress });
  const offer = (plan: Plan): PlanOffer => planOffer(job, side, planSide, plan);
  const equalVertical = outcome.kind === 'problem' ? undefined : outcome.equalVertical;
  return {
    isArtworkRead: reading !== undefined,
    outcome: outcomePlain(outcome, offer),
    equalVertical: equalVertical && {
      ...offer(equalVertical),
      broken: equalVertical.broken,
      isDominated: equalVertical.isDominated,
    },
    lettering,
    quiet: energy && {
      vertical: curve(planSide, 'vertical', energy),
      horizontal: curve(planSide, 'horizontal', energy),
    },
  };
}

function outcomePlain(outcome: PlanOutcome, offer: (plan: Plan) => PlanOffer): PlanAnswer['outcome'] {
  if (outcome.kind === 'plans') return { kind: 'plans', plans: outcome.plans.map(offer) };
  if (outcome.kind === 'infeasible') return { kind: 'infeasible', relaxations: outcome.relaxations };
  return { kind: 'problem', message: outcome.problem.message, remedy: outcome.problem.remedy };
}

function planOffer(
  job: Job,
  side: Side,
  planSide: PlanSide,
  { id, aims, stock, tree, figures, reasons }: Plan,
): PlanOffer {
  const layout = layoutFromPlan(planSide, tree);
  const rollWidthMm = stock.roll.width;
  const taken = planTaken(job, side.id, { layout, rollWidthMm });
  return {
    id,
    aims,
    rollName: stock.roll.name,
    rollWidthMm,
    layout,
    outputSize: taken.ok ? taken.value.output.size : job.output.size,
    figures,
    reasons,
  };
}

function rollsAtHand(job: Job, side: Side, otherWidthsMm: readonly Mm[]): FilmRoll[] {
  const own = rollForSide(job, side);
  const others = otherWidthsMm.filter((width) => width !== own.width);
  return [own, ...others.map((width) => rollForSide(job, side, width))];
}

function curve(side: PlanSide, axis: 'vertical' | 'horizontal', energy: PictureEnergy): QuietCurve {
  const length = axis === 'vertical' ? side.width : side.height;
  const across = axis === 'vertical' ? side.height : side.width;
  const { under, over } = firstOf(side.laps);
  const stepMm = Math.max(energy.cellMm, length / CURVE_POINTS);
  const lines = quietLines(energy, axis, 0, across, { first: under, second: over }, stepMm);
  return { stepMm: lines.stepMm, ppi: lines.ppi, busyMeters: Array.from(lines.busyMeters) };
}
