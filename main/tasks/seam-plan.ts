/** Plans for a side of a job: the artwork is drawn once, at a stated resolution, and the planner reads it. */
import { isLetteringAt, letteringOnSide } from '../../core/checks/side-lettering.ts';
import type { Job, Side } from '../../core/job/schema.ts';
import { sideOutline } from '../../core/job/side-outline.ts';
import { sideSaid } from '../../core/job/vehicles.ts';
import { present } from '../../core/measure/present.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { MM_PER_INCH } from '../../core/measure/units.ts';
import { type PlanAnswer, planAnswer } from '../../core/seams/plan-answer.ts';
import { PlanCancelled } from '../../core/seams/planner.ts';
import type { SideRaster } from '../../core/seams/raster.ts';
import { type SideReading, sideReading } from '../../core/seams/side-reading.ts';
import type { OpenedArtwork } from '../artwork/artwork-file.ts';
import { sideArea } from '../artwork/side-pictures.ts';
import { unlessCalledOff } from '../files/called-off.ts';
import { cancelledProblem } from '../files/file-problem.ts';
import { PictureMaker } from '../render/picture-maker.ts';
import type { TaskTools } from './task-tools.ts';

/** Letters of 60 mm are 15 pixels high at 4 mm per pixel: enough to find them, and quick to draw. */
const PIXEL_MM = 4;
const MAX_RASTER_PX = 4000;

export interface SeamPlanRequest {
  readonly job: Job;
  readonly sideId: string;
  readonly layouts: 'sections' | 'one-way';
  readonly otherRollWidthsMm: readonly number[];
}

/** Without `artwork`, the plan uses only the vehicle and the shop. */
export async function seamPlan(
  { job, sideId, layouts, otherRollWidthsMm }: SeamPlanRequest,
  artwork: OpenedArtwork | undefined,
  { signal, report }: TaskTools,
): Promise<Result<PlanAnswer>> {
  const side = job.sides.find(({ id }) => id === sideId);
  if (!side) return resultProblem(sideUnknown(sideId));
  report({ what: 'Drawing the artwork', done: 0, total: 1 });
  try {
    const reading = artwork && (await keptSideReading(job, side, artwork, { signal, report }));
    if (signal.aborted) return resultProblem(cancelledProblem);
    const ignored = (side.ignoredLettering ?? []).map((drawn) => letteringOnSide(job, side, drawn));
    const lettering = reading?.lettering.filter((box) => !ignored.some((rect) => isLetteringAt(box, rect)));
    const request = {
      job,
      side,
      layouts,
      otherRollWidthsMm,
      ...(reading && {
        reading: { ...reading, lettering: present(lettering, 'The lettering that was read') },
      }),
    };
    return resultOk(
      planAnswer(request, (share) => {
        report({ what: `Planning ${sideSaid(job, side)}`, done: Math.min(share, 0.99), total: 1 });
        return !signal.aborted;
      }),
    );
  } catch (error) {
    if (error instanceof PlanCancelled || signal.aborted) return resultProblem(cancelledProblem);
    throw error;
  }
}

let kept: { readonly of: string; readonly reading: SideReading } | undefined;

/** Drawing and reading the artwork takes longer than planning, so the reading is kept for further requests. */
async function keptSideReading(
  job: Job,
  side: Side,
  artwork: OpenedArtwork,
  { signal, report }: TaskTools,
): Promise<SideReading | undefined> {
  const of = JSON.stringify([job.artwork, job.scale, side.page, side.artworkRect, side.measured]);
  if (kept?.of === of) return kept.reading;
  const raster = await sideRaster(job, side, artwork, signal);
  if (!raster) return undefined;
  const reading = sideReading(raster, () => {
    report({ what: 'Looking for lettering', done: 0, total: 1 });
    if (signal.aborted) throw new PlanCancelled();
  });
  kept = { of, reading };
  return reading;
}

/** Undefined where the page cannot be drawn. Throws what the signal throws. */
async function sideRaster(
  job: Job,
  side: Side,
  artwork: OpenedArtwork,
  signal: AbortSignal,
): Promise<SideRaster | undefined> {
  const window = sideArea(side, artwork);
  if (!window || side.page === undefined) return undefined;
  const widthMm = sideOutline(side, job.scale).width;
  const widthPx = Math.min(MAX_RASTER_PX, Math.max(1, Math.round(widthMm / PIXEL_MM)));
  const maker = new PictureMaker(artwork.path, { password: artwork.password, isLent: true });
  try {
    // A page that is being drawn receives no message, but need not be waited for: closing ends its thread.
    const outcome = await unlessCalledOff(maker.picture(side.page, window, widthPx, { signal }), signal);
    if (!outcome.ok) return undefined;
    const { width, height, rgba } = outcome.picture;
    return { width, height, channels: 4, data: rgba, ppi: (width * MM_PER_INCH) / widthMm };
  } finally {
    // Awaited even when canceled: a thread that is stopped with this one can crash the program.
    await maker.close();
  }
}

const sideUnknown = (sideId: string): Problem => ({
  code: 'side-unknown',
  message: `The job has no side ${sideId}.`,
  remedy: 'Select a side that the job has.',
});
