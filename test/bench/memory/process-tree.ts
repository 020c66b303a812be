/** A process and all that it started, as the system counts them. On other systems than Linux every figure is 0. */
import { spawn } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import { keepCompiledCode } from '../../../main/files/compile-cache.ts';

const LOOK_MS = 50;
const TICKS_PER_SECOND = 100;

export interface Worked {
  /** What the part printed: one line of JSON. */
  readonly told: Readonly<Record<string, number>>;
  /** Largest sum over the tree. */
  readonly peakMB: number;
}

/** Runs a part of a benchmark in a process of its own, so that nothing of one is counted to another. Compiled code is kept, as the command line does. */
export async function worked(program: string, args: readonly string[]): Promise<Worked> {
  keepCompiledCode();
  const child = spawn(process.execPath, [program, ...args], { stdio: ['ignore', 'pipe', 'inherit'] });
  let text = '';
  child.stdout.setEncoding('utf8').on('data', (part: string) => {
    text += part;
  });
  let peakMB = 0;
  const timer = setInterval(() => {
    peakMB = Math.max(peakMB, treeMemoryMB(child.pid));
  }, LOOK_MS);
  const code = await new Promise((resolve) => child.once('close', resolve));
  clearInterval(timer);
  if (code !== 0) throw new Error(`${args[0]} ended with ${code}`);
  return { told: JSON.parse(text) as Worked['told'], peakMB };
}

/** Memory that is in RAM now. */
export function treeMemoryMB(root: number | undefined): number {
  const statuses = treeOf(root).map((pid) => processFile(pid, 'status'));
  return statuses.reduce((sum, status) => sum + Number(/^VmRSS:\s+(\d+)/m.exec(status)?.[1] ?? 0) / 1000, 0);
}

/** CPU of the processes that live, and of those of them that have ended; without the trees whose command `isLeftOut`. */
export function treeCpuSeconds(
  root: number | undefined,
  isLeftOut: (command: string) => boolean = () => false,
): number {
  const ticks = treeOf(root, isLeftOut).map((pid) => {
    const fields = processFile(pid, 'stat').split(') ')[1]?.split(' ') ?? [];
    return [11, 12, 13, 14].reduce((sum, at) => sum + Number(fields[at] ?? 0), 0);
  });
  return ticks.reduce((sum, each) => sum + each, 0) / TICKS_PER_SECOND;
}

function treeOf(root: number | undefined, isLeftOut: (command: string) => boolean = () => false): number[] {
  const parents = new Map(
    processNumbers().map((pid) => [
      pid,
      Number(/^PPid:\s+(\d+)/m.exec(processFile(pid, 'status'))?.[1] ?? 0),
    ]),
  );
  const isWithin = (at: number | undefined): boolean =>
    at === root || (!!at && !isLeftOut(processFile(at, 'cmdline')) && isWithin(parents.get(at)));
  return [...parents.keys()].filter((pid) => isWithin(pid));
}

function processNumbers(): number[] {
  try {
    return readdirSync('/proc')
      .filter((name) => /^\d+$/.test(name))
      .map(Number);
  } catch {
    return [];
  }
}

/** Empty where the process has gone meanwhile. */
function processFile(pid: number, name: string): string {
  try {
    return readFileSync(`/proc/${pid}/${name}`, 'utf8');
  } catch {
    return '';
  }
}
