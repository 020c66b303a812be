/** The license of every package that a release carries, with its text, gathered from the installed packages. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Plugin } from 'vite';
import { valueAt } from '../core/measure/present.ts';
import { type LockFile, softwareBill } from './software-bill.ts';

interface PackageLicense {
  readonly name: string;
  readonly version: string;
  readonly license: string;
  readonly text: string;
}

const LICENSE_FILE = /^(licen[cs]e|copying|notice|ofl)([-.].*)?$/i;
const MODULE = 'panelwright:licenses';

export function packageLicenses(root: string): readonly PackageLicense[] {
  const lock = JSON.parse(readFileSync(join(root, 'package-lock.json'), 'utf8')) as LockFile;
  const folders = new Map(
    Object.entries(lock.packages).map(([path, { name, version }]) => [
      `${name ?? path.slice(path.lastIndexOf('node_modules/') + 'node_modules/'.length)} ${version}`,
      path,
    ]),
  );
  return softwareBill(lock)
    .components.filter(({ name }) => name !== 'electron')
    .map(({ name, version, licenses = [] }) => {
      const license = licenses
        .map((each) => ('license' in each ? each.license.id : each.expression))
        .join(' ');
      const folder = join(root, valueAt(folders, `${name} ${version}`));
      return {
        name,
        version,
        license,
        text: licenseText(folder) ?? `${license}, by the package’s own word.`,
      };
    });
}

/** Of a package that is not installed, as one for another system, there is none. */
function licenseText(folder: string): string | undefined {
  const names = namesIn(folder).filter((name) => LICENSE_FILE.test(name));
  const texts = names.map((name) => readFileSync(join(folder, name), 'utf8').trim());
  return texts.length > 0 ? texts.join('\n\n') : undefined;
}

function namesIn(folder: string): string[] {
  try {
    return readdirSync(folder, { withFileTypes: true })
      .filter((entry) => entry.isFile())
      .map(({ name }) => name)
      .sort();
  } catch {
    return [];
  }
}

/** Gives the screens the licenses as a module. */
export const licensesPlugin = (root: string): Plugin => ({
  name: 'panelwright-licenses',
  resolveId: (id) => (id === MODULE ? `\0${MODULE}` : undefined),
  load: (id) =>
    id === `\0${MODULE}` ? `export default ${JSON.stringify(packageLicenses(root))};` : undefined,
});
