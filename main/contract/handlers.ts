import type { ContractReply, ContractRequest, ContractVerb } from '../../core/contract/contract.ts';
import type { Progress } from '../../core/contract/parts.ts';
import type { Problem, Result } from '../../core/measure/result.ts';

/** What a handler knows of the one who asks. */
export interface AskContext {
  /** Aborted when the asker cancels or goes away. */
  readonly signal: AbortSignal;
  /** Which window or browser tab asks; locks and chosen files belong to it. */
  readonly clientId: string;
  readonly report: (progress: Progress) => void;
}

export type Handler<V extends ContractVerb> = (
  request: ContractRequest<V>,
  context: AskContext,
) => Promise<Result<ContractReply<V>, Problem>>;

/** One handler per verb of the contract; the compiler misses none. */
export type Handlers = { readonly [V in ContractVerb]: Handler<V> };
