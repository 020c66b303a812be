/**
 * The main job from end to end on the demo fleet, by the same commands that an operator types: import the artwork, check,
 * cut, archive, take what was printed off the rolls of the shelf, reprint one panel for one vehicle, and patch another. Small
 * pieces print in the waste beside panels: unit numbers with the bookmobiles, the patch with the next output of the trailer.
 * Writes below demo-output/ and says where. The trailer is cut and patched by a process of its own, as at a second desk with
 * the same archive; what it says is shown when the bookmobile is cut.
 */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { copyFile, mkdir, rm } from 'node:fs/promises';
import { basename, dirname, join, relative } from 'node:path';
import { text } from 'node:stream/consumers';
import { foundIn, present } from '../../core/measure/present.ts';
import type { OutputVerification } from '../../core/verify/output-verification.ts';
import { keepCompiledCode } from '../files/compile-cache.ts';
import { setUpStandardStreams } from '../files/standard-streams.ts';
import type { DemoJob, DemoName } from '../job/demo-jobs.ts';
import { EXIT } from './exit-code.ts';
import type { CommandHost } from './run-action.ts';

setUpStandardStreams(process, { files: EXIT.files, bug: EXIT.internal });
keepCompiledCode();
const { DEMO_JOBS, readDemoJob } = await import('../job/demo-jobs.ts');
const { runCommand } = await import('./program.ts');
const { verificationLines } = await import('./terminal.ts');

const OUTPUT = 'demo-output';
const SURROUNDINGS = {
  stderr: process.stderr,
  signal: new AbortController().signal,
  now: () => new Date().toISOString(),
  locale: 'en-US',
};

const BY = ['--by', 'Dana'];

const [onlyName] = process.argv.slice(2);
if (onlyName === undefined) {
  await runDemo();
} else {
  await cutDemo(onlyName as DemoName);
  await patchDemo();
}

async function runDemo(): Promise<void> {
  console.log('Panelwright demo: two bookmobiles and the outreach trailer of the Alder County Library\n');
  await rm(OUTPUT, { recursive: true, force: true });
  await mkdir(OUTPUT, { recursive: true });
  const trailer = workBeside('trailer');
  const map = await cutDemo('bookmobile');
  const { told, exitCode } = await trailer;
  process.stdout.write(told);
  if (exitCode !== EXIT.done) process.exit(exitCode);
  await printDemo();
  await reprintDemo();
  console.log(`\nOpen ${map} as the installer would, and print from ${join(dirname(map), '..', 'current')}.`);
}

async function workBeside(name: DemoName): Promise<{ told: string; exitCode: number }> {
  const child = spawn(process.execPath, [import.meta.filename, name], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  const [told, [exitCode]] = await Promise.all([text(child.stdout), once(child, 'close')]);
  return { told, exitCode: exitCode ?? EXIT.internal };
}

/** Returns the install map of the output, from here. */
async function cutDemo(name: DemoName): Promise<string> {
  const demo: DemoJob = DEMO_JOBS[name];
  const started = performance.now();
  const sources = join(OUTPUT, 'sources');
  await mkdir(sources, { recursive: true });
  const artwork = join(sources, demo.artworkName);
  const jobFile = join(sources, `${name}.job.json`);
  await copyFile(demo.artwork, artwork);
  await copyFile(demo.jobFile, jobFile);
  await run(['import', artwork, '--job', jobFile, '--box', demo.box]);
  if (demo.photo) {
    const { sideCode, file, points } = demo.photo;
    const [photo, pointsFile] = [file, points].map((url) => join(sources, basename(url.pathname)));
    await copyFile(file, present(photo, 'A photo of the demo'));
    await copyFile(points, present(pointsFile, 'The points on a photo of the demo'));
    await run([
      'vehicle',
      jobFile,
      '--side',
      sideCode,
      '--photo',
      present(photo, 'A photo of the demo'),
      '--photo-points',
      present(pointsFile, 'The points on a photo of the demo'),
    ]);
  }
  if (name === 'bookmobile') {
    const numbers = ['--add', 'Unit number', '--kind', 'unit-number', '--size', '14 in x 7 in'];
    await run(['fill', jobFile, ...numbers, '--each-vehicle']);
  }
  await run(['check', jobFile], EXIT.done);
  const {
    folder,
    manifest,
    output: outputNumber,
    verification,
  } = (await run(['--json', 'cut', jobFile, '--to', OUTPUT])) as {
    folder: string;
    manifest: {
      panels: { label: string; filmBox: { widthMm: number; heightMm: number } }[];
      sheets: { file: string; kind: string }[];
    };
    output: number;
    verification: OutputVerification;
  };
  const within = relative('.', folder);
  const seconds = ((performance.now() - started) / 1000).toFixed(1);
  console.log(`  ${manifest.panels.map(({ label }) => label).join('  ')}`);
  console.log(
    `  ${manifest.panels.length} panels, map and manifest in ${within}, archived as Output ${outputNumber}, ${seconds} s`,
  );
  for (const line of verificationLines(verification)) console.log(`  ${line}`);
  console.log();
  return join(within, foundIn(manifest.sheets, ({ kind }) => kind === 'map').file);
}

async function number(name: DemoName): Promise<string> {
  return (await readDemoJob(DEMO_JOBS[name])).number;
}

/** Two full rolls for the body, and a partial one that the windows use up. */
async function printDemo(): Promise<void> {
  const cast = ['--material', 'Cast print film, gloss white', '--width', '60 in', '--length', '150 ft'];
  const over = ['--material', 'Cast laminate, gloss', '--width', '60 in', '--length', '300 ft'];
  const rolls = [
    [...cast, '--use', 'film', '--lot', '7741', '--roll', '12', '--place', 'Rack 1'],
    [...cast, '--use', 'film', '--lot', '7741', '--roll', '13', '--place', 'Rack 1'],
    [...over, '--use', 'laminate', '--lot', 'L208', '--roll', '3', '--place', 'Rack 2'],
    [
      '--material',
      'Perforated film, white',
      '--width',
      '54 in',
      '--length',
      '150 ft',
      '--use',
      'perforated-film',
      '--lot',
      'P55',
      '--roll',
      '2',
      '--place',
      'Rack 3',
    ],
    [
      '--material',
      'Optically clear laminate',
      '--width',
      '54 in',
      '--length',
      '40 ft',
      '--use',
      'laminate',
      '--lot',
      'C19',
      '--roll',
      '1',
      '--place',
      'Rack 3',
    ],
  ];
  for (const roll of rolls) await run(['stock-receive', ...roll, ...BY]);
  await run(['stock-correct', 'R-0004', '--left', '6 ft', '--note', 'what earlier jobs left', ...BY]);
  const taken = ['--roll', 'R-0001', '--roll', 'R-0002', '--roll', 'R-0004'];
  const laminated = ['--laminate', 'R-0003', '--laminate', 'R-0003', '--laminate', 'R-0005'];
  await run([
    'printed',
    await number('bookmobile'),
    '1',
    ...taken,
    ...laminated,
    '--used-up',
    'R-0004',
    ...BY,
  ]);
  await run(['stock', '--all']);
}

/** Something scraped along the flank of the trailer. */
async function patchDemo(): Promise<void> {
  const { folder, patch } = (await run([
    '--json',
    'patch',
    await number('trailer'),
    '1',
    '--panel',
    'CS-02',
    '--damage',
    '60 in, 55 in, 10 in, 3 in',
    '--reason',
    'scraped at a gate post',
    '--to',
    OUTPUT,
  ])) as { folder: string; patch: string };
  console.log(`  ${patch}, with the sheet that says where it sits, in ${relative('.', folder)}`);
  await run(['fill', join(OUTPUT, 'sources', 'trailer.job.json'), '--take', `ACL-0418 ${patch}`]);
}

async function reprintDemo(): Promise<void> {
  const { folder, differences, files } = (await run([
    '--json',
    'reprint',
    await number('bookmobile'),
    '1',
    '--panels',
    'DS-04',
    '--vehicle',
    'Bookmobile 18',
    '--reason',
    'scratched during installation',
    '--to',
    OUTPUT,
  ])) as { folder: string; differences: string[]; files: { name: string; kind: string }[] };
  const panel = foundIn(files, ({ kind }) => kind === 'panel');
  const verdict = differences.length === 0 ? 'byte-identical to the first time' : differences.join(' ');
  console.log(`  ${relative('.', join(folder, panel.name))}: ${verdict}`);
}

/** Runs one command, shows it as it would be typed, and returns what it printed where that is JSON. */
async function run(args: readonly string[], expected: number = EXIT.done): Promise<unknown> {
  const isJson = args[0] === '--json';
  let printed = '';
  const host: CommandHost = {
    ...SURROUNDINGS,
    stdout: isJson
      ? { write: (text: string) => (printed += text) }
      : { write: (text: string) => process.stdout.write(text.replaceAll(/^(?=.)/gm, '  ')) },
  };
  console.log(
    `$ panelwright ${args
      .filter((arg) => arg !== '--json')
      .map(quoted)
      .join(' ')}`,
  );
  const exitCode = await runCommand(['--archive', join(OUTPUT, 'archive'), ...args], host);
  if (exitCode !== expected) {
    console.error(`This command ended with ${exitCode}; the demo stops. ${printed}`);
    process.exit(exitCode);
  }
  return isJson ? JSON.parse(printed) : undefined;
}

function quoted(arg: string): string {
  const shown = arg.startsWith('/') ? relative('.', arg) : arg;
  return /\s/.test(shown) ? `"${shown}"` : shown;
}
