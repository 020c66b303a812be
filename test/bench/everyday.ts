/**
 * What a shop waits for every day: `npm run -s bench everyday [-- FIGURE…]`. The last line is JSON. CPU is that of all processes that a
 * piece of work starts, and every ratio is one within this run; memory is the largest sum over those processes.
 *
 * `helpOverNode`: the help of the command line beside a program that does nothing. `checkAgain`: a second check of the
 * bookmobile beside the first. `verifyOverDrawing`, `inkOverDrawing`, `sheetsOverDrawing`, `seamsOverDrawing`: verification,
 * ink, all sheets but one, and that one with the seams at true size (some 16 megapixels) of the bookmobile beside PDFium
 * drawing its panels once, at 32.6 megapixels together. `demoOverDrawing`: the time that the whole demo takes beside the same
 * CPU, on a machine that does nothing else. The others: an artwork of a
 * gigabyte, and a traced drawing of two million segments that is opened again.
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { DEMO_JOBS } from '../../main/job/demo-jobs.ts';
import { ART_1_GB, flateArt } from './cut/art.ts';
import { worked } from './memory/process-tree.ts';
import { cutPeakMB1GB, planPeakMB1GB } from './memory.ts';
import { openAgainSecondsVector } from './open.ts';
import { bookmobileDrawing, bookmobileVerification, verifyPeakMB } from './verify/figures.ts';

const COMMAND = join(import.meta.dirname, '../../main/command/main.ts');
const DEMO = join(import.meta.dirname, '../../main/command/run-demo.ts');
const WORK = join(import.meta.dirname, 'everyday/work.ts');
/** A start takes a few ticks of the system's clock. */
const STARTS = 20;
const TICKS_PER_SECOND = 100;

export async function run(wanted: readonly string[]): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'panelwright-bench-'));
  const part = (name: string) => mkdtempSync(join(folder, `${name}-`));
  try {
    const bus = part('bus');
    let drawing: Promise<number> | undefined;
    const overDrawing = async (work: () => Promise<number>): Promise<number> => {
      drawing ??= bookmobileDrawing(bus);
      const drawn = await drawing;
      return (await work()) / drawn;
    };
    const measures: Readonly<Record<string, () => number | Promise<number>>> = {
      helpOverNode,
      checkAgain: () => checkAgain(part('check')),
      verifyOverDrawing: () => overDrawing(() => bookmobileVerification(bus)),
      inkOverDrawing: () => overDrawing(() => partCpuSeconds('ink')),
      sheetsOverDrawing: () => overDrawing(() => partCpuSeconds('sheets')),
      seamsOverDrawing: () => overDrawing(() => partCpuSeconds('seams')),
      demoOverDrawing: () => overDrawing(async () => demoSeconds(part('demo'))),
      planPeakMB1GB: () => planPeakMB1GB(part('plan')),
      cutPeakMB1GB: () => cutPeakMB1GB(part('cut')),
      verifyPeakMB1GB: () => verifyPeakMB1GB(part('verify')),
      openAgainSecondsVector,
    };
    const figures: Record<string, number> = {};
    for (const [name, measure] of Object.entries(measures)) {
      if (wanted.length === 0 || wanted.includes(name)) figures[name] = rounded(await measure());
    }
    console.log(JSON.stringify(figures));
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function helpOverNode(): number {
  const help = commandCpuSeconds(STARTS, COMMAND, '--help');
  const node = commandCpuSeconds(STARTS, '-e', '0');
  console.log(`Help: ${help.toFixed(3)} s of CPU; a program that does nothing: ${node.toFixed(3)} s`);
  return help / node;
}

function checkAgain(folder: string): number {
  const { artwork, jobFile, box } = DEMO_JOBS.bookmobile;
  const check = ['check', fileURLToPath(jobFile), '--artwork', fileURLToPath(artwork), '--box', box];
  const [first, again] = [1, 2].map(() => commandCpuSeconds(1, COMMAND, '--archive', folder, ...check)) as [
    number,
    number,
  ];
  console.log(`Check of the bookmobile: ${first.toFixed(1)} s of CPU, again ${again.toFixed(1)} s`);
  return again / first;
}

/** Until it ends, however many cores it has. */
function demoSeconds(folder: string): number {
  const began = performance.now();
  const { status, stderr } = spawnSync(process.execPath, [DEMO], { cwd: folder, encoding: 'utf8' });
  if (status !== 0) throw new Error(stderr);
  const seconds = (performance.now() - began) / 1000;
  console.log(`The demo: ${seconds.toFixed(1)} s`);
  return seconds;
}

/** Of a program of Node, on average, once its code has been compiled. */
function commandCpuSeconds(times: number, ...args: readonly string[]): number {
  if (times > 1) start(args);
  const before = endedCpuSeconds();
  for (let i = 0; i < times; i += 1) start(args);
  return (endedCpuSeconds() - before) / times;
}

function start(args: readonly string[]): void {
  const { status, stderr } = spawnSync(process.execPath, args, { encoding: 'utf8' });
  if (status !== 0) throw new Error(stderr);
}

/** Of all processes that this one started and that have left. */
function endedCpuSeconds(): number {
  const fields = readFileSync('/proc/self/stat', 'utf8').split(') ')[1]!.split(' ');
  return (Number(fields[13]) + Number(fields[14])) / TICKS_PER_SECOND;
}

async function partCpuSeconds(part: 'ink' | 'sheets' | 'seams'): Promise<number> {
  const cpuSeconds = (await worked(WORK, [part])).told.cpuSeconds!;
  console.log(`The ${part} of the bookmobile: ${cpuSeconds.toFixed(1)} s of CPU`);
  return cpuSeconds;
}

async function verifyPeakMB1GB(folder: string): Promise<number> {
  const path = join(folder, 'art.pdf');
  flateArt(path, ART_1_GB);
  return await verifyPeakMB(path, folder);
}

const rounded = (value: number): number => Math.round(value * 100) / 100;
