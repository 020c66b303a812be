/**
 * What a release holds: packed as electron-builder packs it, around a stand-in for Electron, then taken out and run
 * where nothing else can be found. Every package, typeface, memory image and table that the main job needs must be in.
 */
import { execFileSync } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { basename, join, relative } from 'node:path';
import { build, Platform } from 'electron-builder';
import { load } from 'js-yaml';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { makeElectronStandIn } from '../../../.ci/electron-stand-in.ts';
import { type LockFile, softwareBill } from '../../../.ci/software-bill.ts';
import { jobToJson } from '../../../core/job/job-json.ts';
import { sha256Hex } from '../../../main/files/sha256.ts';
import { closeShared, openChromium } from '../../browser/workstation.ts';
import { builtProgram } from '../../support/built-program.ts';
import { DesktopRun } from '../../support/electron/desktop-run.ts';
import { smallBundle } from '../../support/job-bundle.ts';
import { smallArtwork, smallJob } from '../../support/small-job.ts';
import { describeWithTools } from '../../support/tools.ts';

const root = join(import.meta.dirname, '../../..');
const text = (path: string) => readFileSync(join(root, path), 'utf8');
const home = mkdtempSync(join(tmpdir(), 'panelwright-packing-'));
const unpacked = join(home, 'release', 'linux-unpacked');
const archive = join(unpacked, 'resources', 'app.asar');
/** Node.js reads no such archive: a folder of that name has what Electron sees in it. */
const taken = join(home, 'Grüße aus Köln', 'resources', 'app.asar');

/** The builder's own libraries, of the versions that it uses. */
const builderRequire = createRequire(createRequire(import.meta.url).resolve('electron-builder'));
const { extractAll, extractFile, listPackage } = builderRequire('@electron/asar') as {
  listPackage(path: string, options: { isPack: boolean }): string[];
  extractAll(path: string, to: string): void;
  extractFile(path: string, name: string): Buffer;
};
const { FuseV1Options, getCurrentFuseWire } = builderRequire('@electron/fuses') as {
  FuseV1Options: Readonly<Record<string, string | number>>;
  getCurrentFuseWire(path: string): Promise<Readonly<Record<string, number>>>;
};

interface Written {
  readonly files: readonly { readonly kind: string; readonly sha256: string }[];
}

let files: string[];
// A release is packed on the system that it is for; what is packed is the same.
const isLinux = process.platform === 'linux';

beforeAll(async () => {
  if (!isLinux) return;
  const dist = await builtProgram();
  const config = load(text('electron-builder.yml')) as { files: string[]; directories: object };
  const electron = join(home, 'electron');
  makeElectronStandIn(electron);
  await build({
    targets: Platform.LINUX.createTarget('dir'),
    projectDir: root,
    publish: 'never',
    config: {
      ...config,
      files: [{ from: dist, to: 'dist' }, ...config.files.filter((pattern) => pattern !== 'dist/**')],
      directories: { ...config.directories, output: join(home, 'release') },
      electronDist: electron,
    },
  });
  extractAll(archive, taken);
  files = listPackage(archive, { isPack: false }).map((name) => name.replace(/^[/\\]/, ''));
}, 300_000);
afterAll(() => rmSync(home, { recursive: true, force: true }));

const has = (name: string): boolean => files.includes(name);

describe.runIf(isLinux)('what is packed', () => {
  it('holds the program, its screens, its demo and the bill of what it is made of', () => {
    for (const name of [
      'package.json',
      'dist/main/desktop/main.js',
      'dist/main/command/main.js',
      'dist/main/tasks/task-child.js',
      'dist/main/tasks/worker.js',
      'dist/main/verify/draw-child.js',
      'dist/main/verify/draw-worker.js',
      'dist/main/render/picture-worker.js',
      'dist/preload.cjs',
      'dist/screens/index.html',
      'dist/assets/demo/bookmobile.job.json',
      'dist/assets/demo/bookmobile.pdf',
      'dist/sbom.cdx.json',
    ]) {
      expect(has(name), name).toBe(true);
    }
    const { main } = JSON.parse(extractFile(archive, 'package.json').toString()) as { main: string };
    expect(has(main), main).toBe(true);
  });

  it('holds what both renderers read when they meet it: tables, typefaces, profiles, memory images', () => {
    const pdfjs = (folder: string, ending: RegExp) =>
      files.filter((name) => name.startsWith(`node_modules/pdfjs-dist/${folder}/`) && ending.test(name))
        .length;
    expect(pdfjs('cmaps', /\.bcmap$/)).toBeGreaterThan(150);
    expect(pdfjs('standard_fonts', /\.(pfb|ttf)$/)).toBeGreaterThanOrEqual(14);
    expect(pdfjs('iccs', /\.icc$/)).toBeGreaterThanOrEqual(1);
    expect(pdfjs('wasm', /(openjpeg|jbig2|qcms_bg)\.wasm$/)).toBe(3);
    expect(has('node_modules/pdfjs-dist/image_decoders/pdf.image_decoders.min.mjs')).toBe(true);
    expect(has('node_modules/pdfjs-dist/legacy/build/pdf.mjs')).toBe(true);
    expect(has('node_modules/pdfjs-dist/legacy/build/pdf.worker.mjs')).toBe(true);
  });

  it('keeps compiled parts, and nothing else, beside the archive as real files, for this machine', () => {
    const machine = `linux-${process.arch}`;
    const parts = files.filter((name) => name.endsWith('.node'));
    expect(parts.filter((name) => name.includes('better-sqlite3'))).toEqual([
      `node_modules/better-sqlite3/prebuilds/${machine}.node`,
    ]);
    expect(parts.some((name) => name.includes(`@napi-rs/canvas-${machine}`) && name.endsWith('.node'))).toBe(
      true,
    );
    const beside = readdirSync(`${archive}.unpacked`, { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile())
      .map(({ parentPath, name }) => relative(`${archive}.unpacked`, join(parentPath, name)));
    expect(beside.toSorted()).toEqual(parts.toSorted());
  });

  it('holds nothing to develop with: no sources, maps, types, tests or packages of the development', () => {
    const dev = Object.keys(
      (JSON.parse(text('package.json')) as { devDependencies: object }).devDependencies,
    );
    const strange = files.filter(
      (name) =>
        /\.map$|\.d\.[mc]?ts$|^(test|core|main|renderer|\.ci)\//.test(name) ||
        dev.some((tool) => name.startsWith(`node_modules/${tool}/`)),
    );
    expect(strange).toEqual([]);
    const faces = files.filter((name) => /\/(noto-sans|dejavu-fonts-ttf)\/.*\.ttf$/.test(name));
    expect(faces.map((name) => basename(name)).toSorted()).toEqual([
      'DejaVuSans-Bold.ttf',
      'DejaVuSans.ttf',
      'NotoSans_400Regular.ttf',
      'NotoSans_700Bold.ttf',
    ]);
  });

  it('is what the bill says: every packed package is in it, of that version', () => {
    const bill = softwareBill(JSON.parse(text('package-lock.json')) as LockFile);
    expect(JSON.parse(readFileSync(join(taken, 'dist/sbom.cdx.json'), 'utf8'))).toEqual(bill);
    const listed = new Set(bill.components.map(({ name, version }) => `${name} ${version}`));
    const packages = files.filter((name) =>
      /^(.*\/)?node_modules\/(@[^/]+\/)?[^/]+\/package\.json$/.test(name),
    );
    expect(packages.length).toBeGreaterThan(20);
    for (const path of packages) {
      const { name, version } = JSON.parse(readFileSync(join(taken, path), 'utf8')) as Record<string, string>;
      expect(listed.has(`${name} ${version}`), `${name} ${version}`).toBe(true);
    }
  });

  it('carries the fuses as they are configured', async () => {
    const wire = await getCurrentFuseWire(join(unpacked, 'panelwright'));
    const config = load(text('electron-builder.yml')) as { electronFuses: Record<string, boolean> };
    const fuseOf = (name: string) => wire[String(FuseV1Options[`${name[0]!.toUpperCase()}${name.slice(1)}`])];
    for (const [name, isOn] of Object.entries(config.electronFuses)) {
      expect(String.fromCharCode(fuseOf(name)!), name).toBe(isOn ? '1' : '0');
    }
  });
});

describe.runIf(isLinux)('what is packed, taken out and run where nothing else can be found', () => {
  it('imports, cuts, verifies and reports a job', async () => {
    writeFileSync(join(home, 'art.pdf'), await smallArtwork());
    writeFileSync(join(home, 'job.json'), jobToJson(smallJob()));
    const run = (...args: string[]) =>
      execFileSync(
        process.execPath,
        [join(taken, 'dist/main/command/main.js'), '--archive', join(home, 'archive'), ...args],
        { cwd: home, encoding: 'utf8', env: { HOME: home, PATH: '' } },
      );
    run('import', 'art.pdf', '--job', 'job.json', '--box', 'trim');
    expect(run('cut', 'job.json', '--to', 'out')).toContain('Verified, released for production.');
    for (const name of [
      'SJ-7_map.pdf',
      'SJ-7_ticket.pdf',
      'SJ-7_labels.pdf',
      'SJ-7_packing-list.pdf',
      'panels/SJ-7_LH-02.pdf',
    ]) {
      expect(existsSync(join(home, 'out/SJ-7/output-1', name)), name).toBe(true);
    }
    run('report', 'job.json', '--to', 'report.pdf');
    expect(readFileSync(join(home, 'report.pdf')).subarray(0, 5).toString()).toBe('%PDF-');
    expect(run('suggest', 'job.json', '--side', 'LH')).toMatch(/panels/);
  });

  describeWithTools(['chromium'], 'on a desktop', () => {
    it('opens its window on a job file, writes the panels of the command line, and quits in order', async () => {
      const bundle = await smallBundle(join(home, 'jobs'), { id: 'small-job', number: 'SJ-7' });
      const browser = await openChromium();
      const run = new DesktopRun({ appFolder: taken, home, browser, args: [bundle] });
      try {
        run.answers = () => ({ canceled: false, filePaths: [join(home, 'written')] });
        const page = await run.page();
        await page.locator('.panel').first().waitFor({ state: 'attached' });
        const answer = await page.evaluate<{ value: { output: Written } }>(`(async () => {
        const ask = async (verb, request) => await panelwrightDesktop.ask(verb, request, () => undefined).answer;
        const folder = await ask('folder:choose', { title: 'Folder' });
        return await ask('output:write', { jobId: 'small-job', folder: folder.value.token, sheets: ['map'] });
      })()`);
        const verified = { output: { verification: { state: 'verified' } } };
        expect(answer).toMatchObject({ ok: true, value: verified });
        const cut = readdirSync(join(home, 'out/SJ-7/current/panels')).filter((name) =>
          name.endsWith('.pdf'),
        );
        expect(
          answer.value.output.files
            .flatMap(({ kind, sha256 }) => (kind === 'panel' ? sha256 : []))
            .toSorted(),
        ).toEqual(
          cut.map((name) => sha256Hex(readFileSync(join(home, 'out/SJ-7/current/panels', name)))).toSorted(),
        );
        run.quit();
        expect(await run.exited).toEqual({ code: 0, signal: null });
        expect(existsSync(join(home, '.config/Panelwright/window.json'))).toBe(true);
        const kept = readdirSync(join(home, '.local/share/panelwright/archive'));
        expect(kept.filter((name) => name.endsWith('-wal'))).toEqual([]);
        expect(run.troubles).toEqual([]);
      } finally {
        run.kill();
        await closeShared();
      }
    });
  });
});
