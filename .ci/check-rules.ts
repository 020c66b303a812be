/**
 * Each numbered rule of core/SPEC.md stands there once, has a test whose name begins with its number, and is named by the
 * function that keeps it (`Keeps OV2.`); and each number that a test or a function names is a rule. What is no rule of the
 * trade is a test without a number.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';

const root = resolve(import.meta.dirname, '..');
const NUMBER = /[A-Z]{2,4}\d+/g;
const RULE = /^- \*\*[A-Z]{2,4}\d+\*\*/gm;
const TEST_NAME = /(?:\b(?:it|test|describe)(?:\.\w+)*|\))\(\s*[`'"](?:[A-Z]{2,4}\d+[, ]*)+\b/g;
const KEEPS = /\bKeeps [A-Z]{2,4}\d+(?:(?:, | and )[A-Z]{2,4}\d+)*\./g;

/** The numbers in all that a pattern finds in texts. */
const numbersIn = (texts: readonly string[], pattern: RegExp): readonly string[] =>
  texts.flatMap((text) => text.match(pattern) ?? []).flatMap((found) => found.match(NUMBER) ?? []);

const textsIn = (folder: string, isOne: RegExp): readonly string[] =>
  readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
    .filter((name) => isOne.test(name))
    .map((name) => readFileSync(join(root, folder, name), 'utf8'));

const written = numbersIn([readFileSync(join(root, 'core/SPEC.md'), 'utf8')], RULE);
const rules = new Set(written);
const tested = new Set(numbersIn(textsIn('test', /\.test\.tsx?$/), TEST_NAME));
const kept = new Set(
  numbersIn(
    ['core', 'main', 'renderer'].flatMap((folder) => textsIn(folder, /\.tsx?$/)),
    KEEPS,
  ),
);

const without = (some: ReadonlySet<string>, others: ReadonlySet<string>): readonly string[] =>
  [...some].filter((id) => !others.has(id));

const faults = [
  ['Numbers that stand at two rules', written.filter((id, at) => written.indexOf(id) !== at)],
  ['Rules without a test', without(rules, tested)],
  ['Rules that no function says it keeps', without(rules, kept)],
  ['Tests that name no rule of core/SPEC.md', without(tested, rules)],
  ['Functions that name no rule of core/SPEC.md', without(kept, rules)],
] as const;
for (const [what, ids] of faults) if (ids.length > 0) console.error(`${what}: ${ids.join(', ')}`);
if (faults.some(([, ids]) => ids.length > 0)) process.exit(1);
console.log(`${rules.size} rules, each with a test and a function that keeps it.`);
