/** Plans for a side of a job: the artwork is drawn once, at a stated resolution, and the planner reads it. */
import type { Job, Side } from '../../core/job/schema.ts';
import { sideOutline } from '../../core/job/side-outline.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { MM_PER_INCH } from '../../core/measure/units.ts';
import { type PlanAnswer, planAnswer } from '../../core/seams/plan-answer.ts';
import { PlanCancelled } from '../../core/seams/planner.ts';
import type { SideRaster } from '../../core/seams/raster.ts';
import { cancelledProblem } from '../files/file-problem.ts';
import { PictureMaker } from '../render/picture-maker.ts';
import type { TaskTools } from '../work/tasks.ts';
import type { OpenedArtwork } from './artwork-file.ts';
import { sideWindow } from './side-pictures.ts';

/** Letters of 60 mm are 12 pixels high at 5 mm a pixel: enough to find them, quick enough to draw. */
const PIXEL_MM = 4;
const MAX_RASTER_PX = 4000;

export interface SeamPlanRequest {
  readonly job: Job;
  readonly sideId: string;
  readonly layouts: 'sections' | 'runs';
  readonly otherRollWidthsMm: readonly number[];
}

/** `artwork` absent: the plan knows the vehicle and the shop, not the picture. */
export async function seamPlan(
  { job, sideId, layouts, otherRollWidthsMm }: SeamPlanRequest,
  artwork: OpenedArtwork | undefined,
  { signal, report }: TaskTools,
): Promise<Result<PlanAnswer>> {
  const side = job.sides.find(({ id }) => id === sideId);
  if (!side) return resultProblem(sideUnknown(sideId));
  report({ what: 'Reading the artwork', done: 0, total: 100 });
  const raster = artwork && (await sideRaster(job, side, artwork));
  if (signal.aborted) return resultProblem(cancelledProblem);
  try {
    const request = { job, side, layouts, otherRollWidthsMm, ...(raster && { raster }) };
    return resultOk(
      planAnswer(request, (share) => {
        report({ what: `Planning ${side.code}`, done: Math.round(share * 99), total: 100 });
        return !signal.aborted;
      }),
    );
  } catch (error) {
    if (error instanceof PlanCancelled) return resultProblem(cancelledProblem);
    throw error;
  }
}

async function sideRaster(job: Job, side: Side, artwork: OpenedArtwork): Promise<SideRaster | undefined> {
  const window = sideWindow(side, artwork);
  if (!window) return undefined;
  const widthMm = sideOutline(side, job.scale).width;
  const widthPx = Math.min(MAX_RASTER_PX, Math.max(1, Math.round(widthMm / PIXEL_MM)));
  const maker = new PictureMaker(artwork.path, artwork.password);
  try {
    const outcome = await maker.picture(side.page, window, widthPx);
    if (!outcome.ok) return undefined;
    const { width, height, rgba } = outcome.picture;
    return { width, height, channels: 4, data: rgba, ppi: (width * MM_PER_INCH) / widthMm };
  } finally {
    await maker.close();
  }
}

const sideUnknown = (sideId: string): Problem => ({
  code: 'side-unknown',
  message: `The job has no side ${sideId}.`,
  remedy: 'Choose a side that the job has.',
});
