import type { Result } from '../../core/measure/result.ts';
import type { PlanAnswer } from '../../core/seams/plan-answer.ts';
import type { ArtworkAt } from '../tasks/kept-artwork.ts';
import type { SeamPlanRequest } from '../tasks/seam-plan.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import type { ActParts } from './service-parts.ts';

/** Panel layouts for a side; without artwork they know the vehicle and the shop, not the picture. */
export async function suggestLayouts(
  { planning }: Pick<ActParts, 'planning'>,
  request: SeamPlanRequest & { readonly artwork?: ArtworkAt },
  tools: TaskTools,
): Promise<Result<PlanAnswer>> {
  return await planning.run('plan', request, tools);
}
