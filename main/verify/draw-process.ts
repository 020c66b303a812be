/**
 * Draws pages for the verification in a separate process, one after the other. A page that takes too much work or
 * memory costs that process, not the program; the next page gets a new one. The limit is CPU, not time, so a machine
 * that is slow or was asleep refuses no panel. Only a process that uses no CPU and sends nothing is ended.
 */
import { THREAD_END } from '../files/thread-end.ts';
import type { DrawRequest } from './draw-message.ts';
import { type DrawPort, startDrawing } from './draw-port.ts';

export type DrawOutcome =
  | { readonly ok: true; readonly rgba: Uint8Array }
  | { readonly ok: false; readonly trouble: string };

export interface DrawLimits {
  /** CPU seconds for one drawing. */
  readonly cpuSeconds: number;
  /** A process that is idle for this many checks, a second apart, is ended. */
  readonly idleLooks: number;
  readonly lookMs: number;
}

const LIMITS: DrawLimits = { cpuSeconds: 600, idleLooks: 60, lookMs: 1000 };
/** Less CPU than this per check counts as none. */
const IDLE_CPU_SECONDS = 0.01;

interface Running {
  readonly port: DrawPort;
  cpuSeconds: number;
  /** Whether every drawing has produced a picture so far. */
  isSound: boolean;
  /** The drawing that is waiting for its picture. */
  waiting: { readonly id: number; settle(outcome: DrawOutcome | 'no answer'): void } | undefined;
}

export class DrawProcess {
  readonly #limits: DrawLimits;
  readonly #start: () => DrawPort;
  #running: Running | undefined;
  #lastId = 0;
  /** Serializes drawings: one page at a time. */
  #last: Promise<unknown> = Promise.resolve();

  constructor(limits: Partial<DrawLimits> = {}, start = startDrawing) {
    this.#limits = { ...LIMITS, ...limits };
    this.#start = start;
  }

  /** Starts the process, which takes a second, before anything must be drawn. */
  prepare(): void {
    this.#started();
  }

  async picture(request: DrawRequest, signal: AbortSignal): Promise<DrawOutcome> {
    const drawn = this.#last.then(async () => {
      const first = await this.#draw(request, signal);
      // The reason for the stall is unknown, so it is tried once more.
      const outcome = first === 'no answer' ? await this.#draw(request, signal) : first;
      return outcome === 'no answer' ? NO_ANSWER : outcome;
    });
    this.#last = drawn.catch(() => undefined);
    return await drawn;
  }

  async close(): Promise<void> {
    const running = this.#running;
    this.#running = undefined;
    if (!running) return;
    if (running.isSound && !running.waiting && running.port.release) return running.port.release();
    running.port.post(THREAD_END);
    running.port.kill();
  }

  async #draw(request: DrawRequest, signal: AbortSignal): Promise<DrawOutcome | 'no answer'> {
    signal.throwIfAborted();
    const running = this.#started();
    const id = ++this.#lastId;
    const { promise, resolve, reject } = Promise.withResolvers<DrawOutcome | 'no answer'>();
    const { cpuSeconds: limit, idleLooks, lookMs } = this.#limits;
    const begunAt = running.cpuSeconds;
    let seen = begunAt;
    let idle = 0;
    const give = (outcome: DrawOutcome | 'no answer'): void => {
      resolve(outcome);
      this.#end(running);
    };
    const timer = setInterval(() => {
      if (running.cpuSeconds - begunAt > limit) give(TOO_MUCH_WORK);
      idle = running.cpuSeconds - seen < IDLE_CPU_SECONDS ? idle + 1 : 0;
      seen = running.cpuSeconds;
      if (idle >= idleLooks) give('no answer');
    }, lookMs);
    const onAbort = (): void => {
      reject(signal.reason);
      this.#end(running);
    };
    signal.addEventListener('abort', onAbort, { once: true });
    running.waiting = { id, settle: resolve };
    try {
      running.port.post({ id, ...request });
      return await promise;
    } finally {
      clearInterval(timer);
      signal.removeEventListener('abort', onAbort);
      running.waiting = undefined;
    }
  }

  #started(): Running {
    if (this.#running) return this.#running;
    const port = this.#start();
    const running: Running = {
      port,
      cpuSeconds: port.usedCpuSeconds ?? 0,
      isSound: true,
      waiting: undefined,
    };
    running.port.onReply((reply) => {
      if ('cpuSeconds' in reply) running.cpuSeconds = reply.cpuSeconds;
      else if (reply.id === running.waiting?.id) {
        if ('rgba' in reply) running.waiting.settle({ ok: true, rgba: reply.rgba });
        else {
          running.isSound = false;
          running.waiting.settle({ ok: false, trouble: reply.trouble });
        }
      }
    });
    running.port.onExit((how) => {
      if (this.#running === running) this.#running = undefined;
      running.waiting?.settle({ ok: false, trouble: `the drawing process ended (${how})` });
    });
    this.#running = running;
    return running;
  }

  #end(running: Running): void {
    if (this.#running === running) this.#running = undefined;
    running.port.kill();
  }
}

const NO_ANSWER: DrawOutcome = { ok: false, trouble: 'the drawing process gave no answer' };
const TOO_MUCH_WORK: DrawOutcome = { ok: false, trouble: 'drawing takes more work than any artwork does' };
