/**
 * Imports go one way: renderer → core ← main. This check reads every source file's imports (type
 * imports too) and refuses the others, with the reason, because a rule nobody explains gets disabled.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { join, relative, resolve, sep } from 'node:path';

const root = resolve(import.meta.dirname, '..');
const PACKAGES_OF_CORE = new Set(['zod', 'pdf-lib', 'fontkit', 'bwip-js']);

interface Layer {
  readonly folder: string;
  readonly mayImport: readonly string[];
  readonly reason: string;
}

const LAYERS: readonly Layer[] = [
  {
    folder: 'core',
    mayImport: ['core'],
    reason: 'core is pure: the same rules run in a worker, a window, a test and a terminal',
  },
  {
    folder: 'renderer',
    mayImport: ['renderer', 'core'],
    reason: 'the screens reach main only through the contract, so that they also run in a browser',
  },
  {
    folder: 'main',
    mayImport: ['main', 'core', 'assets'],
    reason: 'services must run headless, without any screen',
  },
];

/** Host objects need no pattern: core is compiled without Node's and the page's types. */
const IMPURITIES: readonly (readonly [RegExp, string])[] = [
  [/\bDate\.now\(|\bnew Date\(\)/, 'the clock: take the time as a value, or the same job gives other bytes'],
  [/\bMath\.random\(|\bcrypto\.randomUUID\(/, 'chance: take the number or id as a value'],
];

const IMPORT =
  /(?:^|[\s;])(?:import|export)\s[^'"]*?from\s*['"]([^'"]+)['"]|(?:^|[\s;])import\s*\(?\s*['"]([^'"]+)['"]/g;

const problems: string[] = [];
for (const layer of LAYERS) {
  for (const file of sourceFiles(join(root, layer.folder))) problems.push(...fileProblems(layer, file));
}
if (problems.length > 0) {
  console.error(problems.join('\n'));
  process.exit(1);
}
console.log('Imports go one way: renderer → core ← main.');

function fileProblems(layer: Layer, file: string): string[] {
  const text = readFileSync(file, 'utf8');
  const name = relative(root, file);
  const found: string[] = [];
  for (const match of text.matchAll(IMPORT)) {
    const target = (match[1] ?? match[2])!;
    if (target.startsWith('.')) {
      const top = relative(root, resolve(file, '..', target)).split(sep)[0]!;
      if (!layer.mayImport.includes(top)) found.push(`${name}: imports ${target} (${layer.reason})`);
    } else if (layer.folder === 'core' && !PACKAGES_OF_CORE.has(target.split('/')[0]!)) {
      found.push(`${name}: imports ${target} (${layer.reason})`);
    } else if (layer.folder === 'renderer' && /^(node:|electron$|better-sqlite3)/.test(target)) {
      found.push(`${name}: imports ${target} (${layer.reason})`);
    }
  }
  if (layer.folder === 'core') {
    const code = text.replace(/\/\*[\s\S]*?\*\/|\/\/[^\n]*/g, '').replace(/'(?:[^'\\\n]|\\.)*'/g, "''");
    for (const [pattern, reason] of IMPURITIES) {
      if (pattern.test(code)) found.push(`${name}: uses ${pattern.exec(code)![0]} (${reason})`);
    }
  }
  return found;
}

function sourceFiles(folder: string): string[] {
  return readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((name) => /\.tsx?$/.test(name))
    .map((name) => join(folder, name));
}
