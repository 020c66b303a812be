/**
 * The requests that screens can send to main. The desktop's handlers, the loopback host's routes and the screens'
 * client all derive from this table: other verbs do not exist, and a request or reply that does not match its schema is
 * rejected on arrival.
 *
 * Work reports progress and can be cancelled. Screens never send file paths; main issues a token for each file or
 * folder that the user selects.
 */
import type { z } from 'zod';
import { ACTUALS_VERBS } from './verbs-actuals.ts';
import { ARCHIVE_VERBS } from './verbs-archive.ts';
import { ARTWORK_VERBS } from './verbs-artwork.ts';
import { COMPARE_VERBS } from './verbs-compare.ts';
import { DESIGNER_VERBS } from './verbs-designer.ts';
import { JOB_VERBS } from './verbs-jobs.ts';
import { MACHINE_VERBS } from './verbs-machine.ts';
import { NOTE_VERBS } from './verbs-notes.ts';
import { OUTPUT_VERBS } from './verbs-outputs.ts';
import { PRODUCTION_VERBS } from './verbs-production.ts';
import { STOCK_VERBS } from './verbs-stock.ts';
import { WEEK_VERBS } from './verbs-week.ts';

export const CONTRACT = {
  ...JOB_VERBS,
  ...ARTWORK_VERBS,
  ...PRODUCTION_VERBS,
  ...OUTPUT_VERBS,
  ...DESIGNER_VERBS,
  ...COMPARE_VERBS,
  ...ARCHIVE_VERBS,
  ...NOTE_VERBS,
  ...STOCK_VERBS,
  ...ACTUALS_VERBS,
  ...WEEK_VERBS,
  ...MACHINE_VERBS,
};

export type ContractVerb = keyof typeof CONTRACT;
export type ContractRequest<V extends ContractVerb> = z.infer<(typeof CONTRACT)[V]['request']>;
export type ContractReply<V extends ContractVerb> = z.infer<(typeof CONTRACT)[V]['reply']>;
