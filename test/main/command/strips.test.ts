import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { jobToJson } from '../../../core/job/job-json.ts';
import type { Job } from '../../../core/job/schema.ts';
import { Manifest } from '../../../core/output/manifest.ts';
import { EXIT } from '../../../main/command/exit-code.ts';
import { commandLine } from '../../support/command-line.ts';
import {
  colorCount,
  type Picture,
  pictureCropped,
  pictureTurnedClockwise,
  pixelsBeyondEdges,
} from '../../support/picture.ts';
import { smallArtwork, smallJob } from '../../support/small-job.ts';
import { popplerPicture } from '../../support/tool-renderers.ts';
import { describeWithTools, runTool } from '../../support/tools.ts';

/** One pixel for each millimeter, so that panels stand on whole pixels of their strip. */
const PPI = 25.4;

let folder: string;
let outputs: number;
const at = (...names: string[]) => join(folder, ...names);
/** In the folder of the last output. */
const inOutput = (...names: string[]) => {
  const folders = readdirSync(at('out', 'SJ-7'));
  return at(
    'out',
    'SJ-7',
    folders.find((name) => /^output-(\d+)/.exec(name)?.[1] === `${outputs}`)!,
    ...names,
  );
};

beforeEach(async () => {
  outputs = 0;
  folder = mkdtempSync(join(tmpdir(), 'panelwright-strips-'));
  writeFileSync(at('art.pdf'), await smallArtwork());
});
afterEach(() => rmSync(folder, { recursive: true }));

const run = (...args: string[]) => commandLine(['--archive', at('archive'), ...args]);

/** One panel upright, one that fits the film only turned; a roll that takes both, a print that takes one after the other. */
function stripJob(over: Partial<Job['output']> = {}, longestPrintMm = 20_000): Job {
  const job = smallJob();
  return {
    ...job,
    printer: { ...job.printer, rollWidthMm: 1520, longestPrintMm },
    output: { ...job.output, files: 'strips', ...over },
  };
}

async function cut(job: Job, ...more: string[]): Promise<Manifest> {
  writeFileSync(at('job.json'), jobToJson(job));
  const ran = await run('cut', at('job.json'), '--artwork', at('art.pdf'), '--to', at('out'), ...more);
  expect(ran.err).toBe('');
  expect(ran.code, ran.out).toBe(EXIT.done);
  outputs += 1;
  return Manifest.parse(JSON.parse(readFileSync(inOutput('manifest.json'), 'utf8')));
}

/** Without verification and sheets, which have tests of its own. */
const cutOnly = (job: Job, ...more: string[]) => cut(job, '--no-verification', '--sheets', 'none', ...more);
const strips = () => (existsSync(inOutput('strips')) ? readdirSync(inOutput('strips')).sort() : []);

describe('a run printed strip by strip', () => {
  it('STR7 writes strips beside the panels, lists them in the manifest and verifies the panels', async () => {
    const manifest = await cut(stripJob(), '--sheets', 'none');
    expect(strips()).toEqual(['SJ-7_roll-1_strip-01.pdf']);
    expect(manifest.strips).toHaveLength(1);
    expect(manifest.strips![0]!.panels.map(({ label }) => label)).toEqual(['LH-01', 'LH-02']);
    expect(manifest.panels).toHaveLength(2);
    const kinds = manifest.files.filter(({ kind }) => kind === 'strip').map(({ file }) => file);
    expect(kinds).toEqual(['strips/SJ-7_roll-1_strip-01.pdf']);
  });

  it('STR7 as the command line says, whatever the job says, and the job stays as it was', async () => {
    const job = stripJob({ files: 'panels' });
    expect((await cutOnly(job)).strips).toBeUndefined();
    expect((await cutOnly(job, '--files', 'strips')).strips).toHaveLength(1);
    expect(JSON.parse(readFileSync(at('job.json'), 'utf8')).output.files).toBe('panels');
    expect((await cutOnly(stripJob(), '--files', 'panels')).strips).toBeUndefined();
    expect(strips()).toEqual([]);
  });

  it('a strip ends at the longest print and at the longest page', async () => {
    expect((await cutOnly(stripJob({}, 3000))).strips).toHaveLength(2);
    const long = (size: Job['output']['size']) => cutOnly(stripJob({ size }));
    const lengths = (manifest: Manifest) => manifest.strips!.map(({ lengthMm }) => lengthMm);
    const [whole] = lengths(await long({ kind: 'user-unit' }));
    // Both panels turned, 1,455 and 1,890 mm long, and the gap.
    expect(whole).toBe(1455 + 15 + 1890);
    const reduced = await long({ kind: 'reduction', factor: 2 });
    expect(reduced.strips!.map(({ enlargeBy }) => enlargeBy)).toEqual([2]);
    expect(strips()).toEqual(['SJ-7_roll-1_strip-01_enlarge-x2.pdf']);
  });

  it('a choice of panels is written panel by panel, and so is a reprint', async () => {
    const some = await cutOnly(stripJob(), '--panels', 'LH-02');
    expect(some.strips).toBeUndefined();
    await cutOnly(stripJob());
    const again = await run(
      ...[
        'reprint',
        'SJ-7',
        '2',
        '--panels',
        'LH-01',
        '--reason',
        'torn',
        '--to',
        at('out'),
        '--sheets',
        'none',
      ],
    );
    outputs += 1;
    expect(again.code).toBe(EXIT.done);
    const manifest = Manifest.parse(JSON.parse(readFileSync(inOutput('manifest.json'), 'utf8')));
    expect(manifest.strips).toBeUndefined();
    expect(manifest.files.some(({ kind }) => kind === 'strip')).toBe(false);
  });
});

describeWithTools(['pdftoppm', 'qpdf'], 'strips by other programs', () => {
  it('every panel stands on its strip pixel by pixel as in its own file, and every strip is a sound file', async () => {
    const manifest = await cutOnly(stripJob());
    const picture = (file: string) => popplerPicture(readFileSync(inOutput(file)), { ppi: PPI });
    let compared = 0;
    for (const strip of manifest.strips!) {
      expect(runTool('qpdf', ['--check', inOutput(strip.file)]).toString()).toContain(
        'No syntax or stream encoding errors',
      );
      const whole = picture(strip.file);
      // Poppler rounds a page up to whole pixels.
      expect(whole.width - strip.widthMm).toBeOneOf([0, 1]);
      expect(whole.height - strip.lengthMm).toBeOneOf([0, 1]);
      for (const { label, xMm, yMm, turned } of strip.panels) {
        const file = manifest.panels.find((panel) => panel.label === label)!.file;
        const upright = picture(file);
        const alone: Picture = turned ? pictureTurnedClockwise(upright) : upright;
        const { width, height } = alone;
        const onStrip = pictureCropped(whole, { x: xMm, y: yMm, width, height });
        expect(colorCount(alone)).toBeGreaterThan(3);
        const otherShare = (a: Picture, b: Picture) =>
          pixelsBeyondEdges(a, b, { tolerance: 8 }) / (a.width * a.height);
        const border = stripJob().output.borderMm;
        const within = { x: border, y: border, width: width - 2 * border, height: height - 2 * border };
        expect(otherShare(pictureCropped(alone, within), pictureCropped(onStrip, within))).toBeLessThan(
          0.0005,
        );
        // Small letters of the marks in the border are hinted another way when turned.
        expect(otherShare(alone, onStrip)).toBeLessThan(0.002);
        const upsideDown = pictureTurnedClockwise(pictureTurnedClockwise(alone));
        expect(otherShare(upsideDown, onStrip)).toBeGreaterThan(0.01);
        compared += 1;
      }
    }
    expect(compared).toBe(2);
  });
});
