/** One piece of long work of a screen: its progress, and how to stop it. */
import { signal } from '@preact/signals';
import type { ContractReply, ContractRequest, ContractVerb } from '../../core/contract/contract.ts';
import type { Progress } from '../../core/contract/parts.ts';
import type { Problem, Result } from '../../core/measure/result.ts';
import { ask } from '../client/client.ts';

export function workSlot() {
  const progress = signal<Progress | undefined>(undefined);
  let abort: AbortController | undefined;
  let owner: string | number | undefined;

  return {
    progress,
    /** Of the work for this job or output; that for another is not shown there. */
    progressOf: (asker: string | number) => (owner === asker ? progress.value : undefined),
    cancel: () => abort?.abort(),
    /** Asks, showing progress until the answer is there. `asker`: for whom, see `progressOf`. */
    async run<V extends ContractVerb>(
      verb: V,
      request: ContractRequest<V>,
      what: string,
      asker?: string | number,
    ): Promise<Result<ContractReply<V>, Problem>> {
      abort = new AbortController();
      owner = asker;
      progress.value = { what, done: 0, total: 1 };
      try {
        return await ask(verb, request, {
          signal: abort.signal,
          onProgress: (reported) => {
            progress.value = reported;
          },
        });
      } finally {
        progress.value = undefined;
      }
    },
  };
}
