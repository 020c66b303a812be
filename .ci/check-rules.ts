/**
 * Every numbered rule of core/SPEC.md needs a test whose name begins with its number, and every number
 * that a test names must be a rule. A rule without a test is a wish, and a number at two rules names neither.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';

const root = resolve(import.meta.dirname, '..');
const RULE = /^- \*\*([A-Z]{2,4}\d+)\*\*/gm;
const TEST_NAME = /(?:\b(?:it|test|describe)(?:\.\w+)*|\))\(\s*[`'"]((?:[A-Z]{2,4}\d+[, ]*)+)\b/g;

const written = [...readFileSync(join(root, 'core/SPEC.md'), 'utf8').matchAll(RULE)].map(([, id = '']) => id);
const rules = new Set(written);
const tested = new Set<string>();
for (const name of readdirSync(join(root, 'test'), { recursive: true, encoding: 'utf8' })) {
  if (!/\.test\.tsx?$/.test(name)) continue;
  for (const match of readFileSync(join(root, 'test', name), 'utf8').matchAll(TEST_NAME)) {
    for (const [id] of match[0].matchAll(/[A-Z]{2,4}\d+/g)) tested.add(id);
  }
}

const untested = [...rules].filter((id) => !tested.has(id));
const unknown = [...tested].filter((id) => !rules.has(id));
const twice = [...rules].filter((id) => written.indexOf(id) !== written.lastIndexOf(id));
if (twice.length > 0) console.error(`Numbers that stand at two rules: ${twice.join(', ')}`);
if (untested.length > 0) console.error(`Rules without a test: ${untested.join(', ')}`);
if (unknown.length > 0) console.error(`Tests that name no rule of core/SPEC.md: ${unknown.join(', ')}`);
if (untested.length + unknown.length + twice.length > 0) process.exit(1);
console.log(`${rules.size} rules, each with a test.`);
