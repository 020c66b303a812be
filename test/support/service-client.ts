import type { ContractReply, ContractRequest, ContractVerb } from '../../core/contract/contract.ts';
import { CONTRACT } from '../../core/contract/contract.ts';
import type { Progress } from '../../core/contract/parts.ts';
import type { Result } from '../../core/measure/result.ts';
import { answerRequest } from '../../main/contract/answer.ts';
import type { Services } from '../../main/services/services.ts';

/** Asks services as a screen does, replies checked; keeps the progress that was reported. */
export class ServiceClient {
  readonly progress: Progress[] = [];
  readonly #services: Services;
  readonly #clientId: string;

  constructor(services: Services, clientId = 'client-1') {
    this.#services = services;
    this.#clientId = clientId;
  }

  async ask<V extends ContractVerb>(
    verb: V,
    request: ContractRequest<V>,
    signal = new AbortController().signal,
  ): Promise<Result<ContractReply<V>>> {
    const answer = await answerRequest(
      this.#services.handlers,
      verb,
      request,
      { clientId: this.#clientId, signal, report: (progress) => this.progress.push(progress) },
      (error) => {
        throw error;
      },
    );
    if (answer.ok) CONTRACT[verb].reply.parse(answer.value);
    return answer as Result<ContractReply<V>>;
  }

  /** The reply, or an error that says which problem came instead. */
  async reply<V extends ContractVerb>(verb: V, request: ContractRequest<V>): Promise<ContractReply<V>> {
    const answer = await this.ask(verb, request);
    if (!answer.ok) throw new Error(`${verb}: ${answer.problem.code}: ${answer.problem.message}`);
    return answer.value;
  }

  chosenFile(path: string, name?: string): string {
    return this.#services.chosen.add(path, 'file', this.#clientId, name).token;
  }

  chosenFolder(path: string): string {
    return this.#services.chosen.add(path, 'folder', this.#clientId).token;
  }
}
