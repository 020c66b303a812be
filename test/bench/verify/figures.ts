/**
 * What a verification costs: CPU beside drawing the panels once, and memory over all its processes. Each part runs in a
 * process of its own (`work.ts`), so that nothing of one is counted to another.
 */
import { type ChildProcess, spawn } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';

const WORK = join(import.meta.dirname, 'work.ts');
const LOOK_MS = 50;

/** Prepares the bookmobile's output in `folder`; CPU of verifying it ÷ CPU of PDFium drawing its panels once, at 32.6 megapixels together. */
export async function verifyOverDrawing(folder: string): Promise<number> {
  await worked(['cut-bookmobile', folder]);
  const drawing = await worked(['draw', folder]);
  const verification = await worked(['verify-bookmobile', folder]);
  console.log(
    `Verification of the bookmobile: ${verification.cpuSeconds.toFixed(1)} s of CPU, ${Math.round(verification.peakMB)} MB; drawing its panels once ${drawing.cpuSeconds.toFixed(1)} s`,
  );
  return verification.cpuSeconds / drawing.cpuSeconds;
}

/** Largest sum of memory over the processes that verify twelve panels of an artwork. */
export async function verifyPeakMB(artwork: string, folder: string): Promise<number> {
  await worked(['cut', folder, artwork]);
  const { cpuSeconds, peakMB } = await worked(['verify', folder, artwork]);
  console.log(
    `Verification of twelve panels of ${artwork}: ${cpuSeconds.toFixed(1)} s of CPU, ${Math.round(peakMB)} MB`,
  );
  return peakMB;
}

interface Worked {
  readonly cpuSeconds: number;
  readonly peakMB: number;
}

async function worked(args: readonly string[]): Promise<Worked> {
  const child = spawn(process.execPath, [WORK, ...args], { stdio: ['ignore', 'pipe', 'inherit'] });
  let text = '';
  child.stdout.setEncoding('utf8').on('data', (part: string) => {
    text += part;
  });
  let peakMB = 0;
  const timer = setInterval(() => {
    peakMB = Math.max(peakMB, treeMemoryMB(child));
  }, LOOK_MS);
  const code = await new Promise((resolve) => child.once('close', resolve));
  clearInterval(timer);
  if (code !== 0) throw new Error(`${args[0]} ended with ${code}`);
  return { cpuSeconds: (JSON.parse(text) as { cpuSeconds: number }).cpuSeconds, peakMB };
}

/** Of a process and all that it started; 0 where the system does not tell. */
function treeMemoryMB({ pid }: ChildProcess): number {
  const parents = new Map<number, number>();
  const names = (() => {
    try {
      return readdirSync('/proc').filter((name) => /^\d+$/.test(name));
    } catch {
      return [];
    }
  })();
  const memory = new Map<number, number>();
  for (const name of names) {
    try {
      const status = readFileSync(`/proc/${name}/status`, 'utf8');
      parents.set(Number(name), Number(/^PPid:\s+(\d+)/m.exec(status)?.[1] ?? 0));
      memory.set(Number(name), Number(/^VmRSS:\s+(\d+)/m.exec(status)?.[1] ?? 0) / 1000);
    } catch {
      // It has gone meanwhile.
    }
  }
  const isWithin = (at: number | undefined): boolean => at === pid || (!!at && isWithin(parents.get(at)));
  let sum = 0;
  for (const [process, megabytes] of memory) if (isWithin(process)) sum += megabytes;
  return sum;
}
