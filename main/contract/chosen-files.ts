/**
 * Files and folders that the user selected, by token. The screens never name a path, so a compromised page cannot reach
 * a file that the user did not select.
 */
import { randomBytes } from 'node:crypto';
import { basename } from 'node:path';
import type { Chosen } from '../../core/contract/parts.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';

export type ChosenKind = 'file' | 'folder';

interface Entry {
  readonly path: string;
  readonly name: string;
  readonly kind: ChosenKind;
  readonly clientId: string;
}

const TOKEN_BYTES = 16;

export class ChosenFiles {
  readonly #entries = new Map<string, Entry>();

  /** `name` is what the person sees, where it differs from the file's own name (an upload, say). */
  add(path: string, kind: ChosenKind, clientId: string, name = basename(path)): Chosen {
    const token = randomBytes(TOKEN_BYTES).toString('hex');
    this.#entries.set(token, { path, name, kind, clientId });
    return { token, name };
  }

  path(token: string, kind: ChosenKind, clientId: string): Result<string> {
    const entry = this.#entries.get(token);
    if (entry?.kind === kind && entry.clientId === clientId) return resultOk(entry.path);
    return resultProblem(tokenUnknown);
  }

  /** What the person sees as the name of the file. */
  name(token: string): string | undefined {
    return this.#entries.get(token)?.name;
  }

  /** Forgets all that a client chose. */
  forget(clientId: string): void {
    for (const [token, entry] of this.#entries) {
      if (entry.clientId === clientId) this.#entries.delete(token);
    }
  }
}

const tokenUnknown: Problem = {
  code: 'token-unknown',
  message: 'The selected file or folder is no longer known to the program.',
  remedy: 'Select it again.',
};
