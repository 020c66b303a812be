import type { Job } from '../../core/job/schema.ts';
import type { Result } from '../../core/measure/result.ts';
import type { RollOffers } from '../../core/production/roll-offers.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import type { ActParts } from './service-parts.ts';

/** Rolls of the shelf that the panels on a film of a job can be printed on and laminated with, the best first. */
export const offerRolls = async (
  { archive, planning }: Pick<ActParts, 'archive' | 'planning'>,
  request: { readonly job: Job; readonly filmId: string },
  tools: TaskTools,
): Promise<Result<RollOffers>> =>
  await planning.run(
    'rollOffers',
    { ...request, stock: await archive.stock.rolls(), archiveFolder: archive.folder },
    tools,
  );
