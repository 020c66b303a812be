/** Opens hostile files in a process of its own, with limits of time and memory that are kept from outside. */
import { type ChildProcess, fork } from 'node:child_process';
import { once } from 'node:events';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { CellReply } from './cell.ts';
import type { Outcome } from './outcome.ts';

export type CaseResult<O = Outcome> =
  | { readonly kind: 'sound'; readonly outcome: O }
  | { readonly kind: 'bug' | 'crash' | 'hang' | 'memory'; readonly detail: string };

export interface CellLimits {
  /** Of the process's own work: a busy machine makes nothing hang. */
  readonly cpuMs: number;
  readonly memoryBytes: number;
}

export const CELL_LIMITS: CellLimits = { cpuMs: 10_000, memoryBytes: 1500 * 2 ** 20 };
/** Of a process that waits without working, or whose work cannot be measured. */
const IDLE_MS = 120_000;
const LOOK_EVERY_MS = 50;
const HEAP_MB = 700;
/** Linux counts processor time in hundredths of a second, memory in pages. */
const MS_PER_TICK = 10;
const PAGE_BYTES = 4096;

/** `module` is what runs in the process; it answers each file with a `CellReply`. */
export class LockedCell<O = Outcome> {
  readonly #limits: CellLimits;
  readonly #module: string;
  #child: ChildProcess | undefined;

  constructor(limits: CellLimits = CELL_LIMITS, module = join(import.meta.dirname, 'cell.ts')) {
    this.#limits = limits;
    this.#module = module;
  }

  async run(bytes: Uint8Array): Promise<CaseResult<O>> {
    this.#child ??= await start(this.#module);
    const child = this.#child;
    const begun = useOf(child.pid!);
    let [workedMs, progressMs] = [0, performance.now()];
    const verdict = Promise.withResolvers<CaseResult<O>>();
    const onMessage = (reply: CellReply<O>) =>
      verdict.resolve(
        'outcome' in reply ? { kind: 'sound', outcome: reply.outcome } : { kind: 'bug', detail: reply.bug },
      );
    const onExit = (code: number | null, signal: string | null) =>
      verdict.resolve({ kind: 'crash', detail: `the process ended: ${signal ?? code}` });
    child.on('message', onMessage).once('exit', onExit);
    const look = setInterval(() => {
      const use = useOf(child.pid!);
      const cpuMs = (use?.cpuMs ?? 0) - (begun?.cpuMs ?? 0);
      if (cpuMs > workedMs) [workedMs, progressMs] = [cpuMs, performance.now()];
      if (use && use.memoryBytes > this.#limits.memoryBytes) {
        verdict.resolve({ kind: 'memory', detail: `${Math.round(use.memoryBytes / 1e6)} MB` });
      } else if (cpuMs > this.#limits.cpuMs || performance.now() - progressMs > IDLE_MS) {
        verdict.resolve({ kind: 'hang', detail: `${Math.round(cpuMs)} ms of work` });
      }
    }, LOOK_EVERY_MS);
    child.send(bytes);
    const result = await verdict.promise;
    clearInterval(look);
    child.off('message', onMessage).off('exit', onExit);
    if (result.kind !== 'sound' && result.kind !== 'bug') await this.close();
    return result;
  }

  async close(): Promise<void> {
    const child = this.#child;
    this.#child = undefined;
    if (!child || child.exitCode !== null || child.signalCode !== null) return;
    const gone = once(child, 'exit');
    child.kill('SIGKILL');
    await gone;
  }
}

async function start(module: string): Promise<ChildProcess> {
  const child = fork(module, {
    serialization: 'advanced',
    execArgv: [`--max-old-space-size=${HEAP_MB}`],
  });
  await once(child, 'message');
  return child;
}

/** CPU time of a process so far; undefined where the system does not report it. */
function useOf(pid: number): { cpuMs: number; memoryBytes: number } | undefined {
  try {
    // The name, in parentheses, may hold anything; the fields after it are numbers.
    const fields = readFileSync(`/proc/${pid}/stat`, 'utf8')
      .replace(/^.*\) /s, '')
      .split(' ')
      .map(Number);
    return { cpuMs: (fields[11]! + fields[12]!) * MS_PER_TICK, memoryBytes: fields[21]! * PAGE_BYTES };
  } catch {
    return undefined;
  }
}
