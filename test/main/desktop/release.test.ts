/** What a release is: its configuration, its fuses, what it is made of, and the rest of the security checklist. */
import { readdirSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { Ajv } from 'ajv';
import { load } from 'js-yaml';
import { describe, expect, it } from 'vitest';
import { type LockFile, softwareBill } from '../../../.ci/software-bill.ts';

const root = join(import.meta.dirname, '../../..');
const text = (path: string) => readFileSync(join(root, path), 'utf8');
const config = load(text('electron-builder.yml')) as Record<string, unknown>;
const manifest = JSON.parse(text('package.json')) as {
  dependencies: Record<string, string>;
  devDependencies: Record<string, string>;
};
const lock = JSON.parse(text('package-lock.json')) as LockFile;

const sources = (folder: string): string =>
  readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
    .filter((name) => /\.(ts|tsx|html)$/.test(name))
    .map((name) => text(join(folder, name)))
    .join('\n');

describe('Electron’s security checklist (electronjs.org, tutorial/security): what no window shows', () => {
  it('item 1: nothing is loaded from a network: the sources of shell and screens name no web address to load', () => {
    for (const folder of ['main/desktop', 'renderer']) {
      // Names of SVG and XML vocabularies look like addresses and are not loaded.
      const addresses = sources(folder).match(/\b(https?|wss?|ftp):\/\/[^\s'"`)]+/g) ?? [];
      expect(addresses.filter((address) => !address.startsWith('http://www.w3.org/'))).toEqual([]);
    }
  });

  it('items 10, 15: no Blink feature is switched on, and nothing is handed to the system’s browser', () => {
    expect(sources('main')).not.toMatch(/enableBlinkFeatures|openExternal/);
  });

  it('item 16: one exact version of Electron, not older than this program', () => {
    expect(manifest.devDependencies.electron).toMatch(/^\d+\.\d+\.\d+$/);
    expect(Number.parseInt(manifest.devDependencies.electron!, 10)).toBeGreaterThanOrEqual(45);
  });

  it('item 19: fuses let nobody run the program as Node, debug it, or swap its code', () => {
    expect(config.electronFuses).toEqual({
      runAsNode: false,
      enableCookieEncryption: false,
      enableNodeOptionsEnvironmentVariable: false,
      enableNodeCliInspectArguments: false,
      enableEmbeddedAsarIntegrityValidation: true,
      onlyLoadAppFromAsar: true,
      loadBrowserProcessSpecificV8Snapshot: false,
      grantFileProtocolExtraPrivileges: false,
    });
  });

  it('item 20: the preload exposes functions of its own, never a module of Electron’s', () => {
    const exposed = /const bridge = \{([\s\S]*?)\n\};/.exec(text('main/desktop/preload.ts'))![1]!;
    const members = [...exposed.matchAll(/^ {2}(?:async )?(\w+)[(:]/gm)].map(([, name]) => name);
    expect(members).toEqual(['host', 'ask', 'dropped', 'onMessage']);
    expect(exposed).not.toMatch(/(:|return) *(ipcRenderer|webUtils|contextBridge)\s*[,;\n}]/);
  });
});

describe('the release', () => {
  it('is run in the real Electron on three systems, by a workflow whose steps are there', () => {
    const workflow = load(text('.github/workflows/desktop.yml')) as {
      jobs: { run: { strategy: { matrix: { include: { os: string }[] } }; steps: { run?: string }[] } };
    };
    const { strategy, steps } = workflow.jobs.run;
    const systems = strategy.matrix.include.map(({ os }) => os.split('-')[0]);
    expect(systems.toSorted()).toEqual(['macos', 'macos', 'ubuntu', 'windows']);
    const commands = steps.map(({ run }) => run ?? '').join('\n');
    const scripts = (JSON.parse(text('package.json')) as { scripts: Record<string, string> }).scripts;
    for (const [, script] of commands.matchAll(/npm run (\w+)/g))
      expect(scripts[script!], script).toBeDefined();
    const files = [...commands.matchAll(/\btest\/[\w./-]+/g)].map(([file]) => file);
    expect(new Set(files).size).toBe(1);
    for (const file of files) expect(text(file)).toContain('_electron.launch');
  });

  it('is configured as electron-builder’s own schema wants it', () => {
    const require = createRequire(import.meta.url);
    const scheme = require('app-builder-lib/scheme.json') as object;
    const ajv = new Ajv({ strict: false, allErrors: true });
    const isValid = ajv.validate(scheme, config);
    expect(ajv.errorsText()).toBe('No errors');
    expect(isValid).toBe(true);
    expect(ajv.validate(scheme, { ...config, electronFusses: {} })).toBe(false);
  });

  it('publishes nowhere by itself, and packs neither sources nor maps', () => {
    expect(config.publish).toBeNull();
    expect(config.files).toEqual(expect.arrayContaining(['dist/**', '!**/*.map']));
    expect(config.files).not.toEqual(expect.arrayContaining(['**/*']));
  });

  it('depends on few packages, each of one exact version', () => {
    const versions = Object.values(manifest.dependencies);
    expect(versions.length).toBeLessThanOrEqual(23);
    for (const version of versions) expect(version).toMatch(/^(npm:@?[\w/-]+@)?\d+\.\d+\.\d+$/);
    // The queue of a shared archive brings ten, with its schedules and the interface of its telemetry.
    expect(softwareBill(lock).components.length).toBeLessThanOrEqual(82);
  });

  it('carries a CycloneDX 1.6 bill of every package that it ships (ECMA-424)', () => {
    const bill = softwareBill(lock);
    expect(bill).toMatchObject({ bomFormat: 'CycloneDX', specVersion: '1.6', version: 1 });
    expect(bill.serialNumber).toMatch(/^urn:uuid:[0-9a-f]{8}-([0-9a-f]{4}-){3}[0-9a-f]{12}$/);
    const names = bill.components.map(({ name }) => name);
    const shipped = Object.entries(manifest.dependencies).map(([name, version]) =>
      version.startsWith('npm:') ? version.slice('npm:'.length, version.lastIndexOf('@')) : name,
    );
    expect(names).toEqual(expect.arrayContaining([...shipped, 'electron']));
    expect(names).not.toContain('vitest');
    for (const { purl, hashes, licenses } of bill.components) {
      expect(purl).toMatch(/^pkg:npm\/(%40[\w.-]+\/)?[\w.-]+@\d+\.\d+\.\d+/);
      expect(hashes?.[0]?.content).toMatch(/^[0-9a-f]{128}$/);
      expect(licenses?.length).toBe(1);
    }
    expect(new Set(bill.components.map((component) => component['bom-ref'])).size).toBe(
      bill.components.length,
    );
    expect(softwareBill(lock)).toEqual(bill);
  });
});
