/**
 * Runs `npm run release` around a stand-in for Electron, and checks what it packed: version, changes, bill of materials and
 * licenses agree, and the packed command line reads an artwork. What else is in a package, and that its window opens, is
 * checked by test/main/desktop/packing.test.ts.
 */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { present } from '../core/measure/present.ts';
import { makeElectronStandIn } from './electron-stand-in.ts';
import { packageLicenses } from './package-licenses.ts';
import type { softwareBill } from './software-bill.ts';

const root = resolve(import.meta.dirname, '..');
const home = mkdtempSync(join(tmpdir(), 'panelwright-release-'));
const builderRequire = createRequire(createRequire(import.meta.url).resolve('electron-builder'));
const { extractAll } = builderRequire('@electron/asar') as { extractAll(path: string, to: string): void };

try {
  const electron = join(home, 'electron');
  makeElectronStandIn(electron);
  const settings = ['--dir', `-c.electronDist=${electron}`, `-c.directories.output=${join(home, 'release')}`];
  execFileSync('npm', ['run', 'release', '--', ...settings], { cwd: root, stdio: 'inherit' });

  const archive = present(
    readdirSync(home, { recursive: true, encoding: 'utf8' }).find((name) => name.endsWith('app.asar')),
    'The packed program',
  );
  const app = join(home, 'app');
  extractAll(join(home, archive), app);
  const problems = releaseProblems(app);
  for (const problem of problems) console.error(problem);
  if (problems.length > 0) process.exitCode = 1;
  else console.log('The release packs, and what it packed runs.');
} finally {
  rmSync(home, { recursive: true, force: true });
}

function releaseProblems(app: string): string[] {
  const read = (...path: string[]) => readFileSync(join(...path), 'utf8');
  const { version } = JSON.parse(read(root, 'package.json')) as { version: string };
  const bill = JSON.parse(read(app, 'dist/sbom.cdx.json')) as ReturnType<typeof softwareBill>;
  const command = (...args: string[]) =>
    execFileSync(process.execPath, [join(app, 'dist/main/command/main.js'), ...args], {
      encoding: 'utf8',
      env: { HOME: home, PATH: '' },
    });
  const screens = join(app, 'dist/screens/assets');
  const scripts = readdirSync(screens)
    .filter((name) => name.endsWith('.js'))
    .map((name) => read(screens, name));
  const checks: [boolean, string][] = [
    [command('--version').trim() === version, `The packed command line is not of version ${version}.`],
    [
      command('inspect', join(root, 'assets/demo/bookmobile.pdf')).includes('page 1'),
      'The packed command line does not read the artwork of the demo.',
    ],
    [read(root, 'CHANGELOG.md').includes(`\n## ${version} `), `CHANGELOG.md has no heading for ${version}.`],
    [bill.metadata.component.version === version, `The bill of materials is not of version ${version}.`],
    ...bill.components.map(({ name, licenses }): [boolean, string] => [
      licenses !== undefined,
      `The bill of materials says no license of ${name}.`,
    ]),
    ...packageLicenses(root).map(({ name }): [boolean, string] => [
      scripts.some((script) => script.includes(name)),
      `The screens do not list the license of ${name}.`,
    ]),
  ];
  return checks.flatMap(([isRight, sentence]) => (isRight ? [] : [sentence]));
}
