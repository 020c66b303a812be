/** Holds the floor plan of DEVELOPERS.md against every import of the three buildings, and says why one is refused. */
import { readdirSync, readFileSync } from 'node:fs';
import { join, resolve, sep } from 'node:path';
import { floorsFromMap, importProblems } from './import-problems.ts';

const root = resolve(import.meta.dirname, '..');
/** A check that reads nothing passes: fewer files than this means that it looked in the wrong place. */
const LEAST_FILES = 300;

const sources = new Map(['core', 'main', 'renderer'].flatMap(sourcesOf));
const floors = floorsFromMap(readFileSync(join(root, 'DEVELOPERS.md'), 'utf8'));
const problems = importProblems(sources, floors);
if (sources.size < LEAST_FILES) problems.push(`Only ${sources.size} source files were found.`);
if (problems.length > 0) {
  console.error(problems.join('\n'));
  process.exit(1);
}
console.log(
  `${sources.size} files in ${floors.size} rooms: every import goes down, and no two rooms import each other.`,
);

function sourcesOf(building: string): [string, string][] {
  return readdirSync(join(root, building), { recursive: true, encoding: 'utf8' })
    .filter((name) => /\.tsx?$/.test(name))
    .map((name) => `${building}/${name.split(sep).join('/')}`)
    .map((file) => [file, readFileSync(join(root, file), 'utf8')]);
}
