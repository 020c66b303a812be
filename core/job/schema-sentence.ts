import type { z } from 'zod';
import { firstOf } from '../measure/present.ts';

/** A path in code notation: `sides[1].layout.joints[0].atMm`. */
export function pathText(path: readonly PropertyKey[]): string {
  return path.reduce<string>(
    (text, key) =>
      typeof key === 'number' ? `${text}[${key}]` : text === '' ? String(key) : `${text}.${String(key)}`,
    '',
  );
}

/**
 * One sentence for the first error in a document, with its place and the value found there. `document` is the checked
 * value.
 */
export function schemaSentence(error: z.ZodError, document: unknown): string {
  const issue = firstOf(error.issues);
  const place = issue.path.length === 0 ? 'the document' : pathText(issue.path);
  const found = valueAt(document, issue.path);
  if (issue.code === 'unrecognized_keys') {
    const keys = issue.keys.map(quoted).join(', ');
    return `${place} has the unknown ${issue.keys.length === 1 ? 'field' : 'fields'} ${keys}.`;
  }
  if (found === undefined) return `${place} is missing.`;
  return `${place} ${expectation(issue)}, but it is ${valueText(found)}.`;
}

function expectation(issue: z.core.$ZodIssue): string {
  switch (issue.code) {
    case 'invalid_type':
      return issue.expected === 'number'
        ? 'must be a finite number'
        : `must be ${withArticle(issue.expected)}`;
    case 'invalid_value':
      return `must be ${issue.values.map((value) => JSON.stringify(value)).join(' or ')}`;
    case 'too_small':
      return sizeExpectation(issue.origin, issue.inclusive ? 'at least' : 'greater than', issue.minimum);
    case 'too_big':
      return sizeExpectation(issue.origin, issue.inclusive ? 'at most' : 'less than', issue.maximum);
    case 'invalid_format':
      return issue.format === 'date' ? 'must be a date such as 2026-11-25' : `is not valid: ${issue.message}`;
    default:
      return `is not valid (${issue.message})`;
  }
}

function sizeExpectation(origin: string, bound: string, limit: number | bigint): string {
  if (origin === 'string') return `must have ${bound} ${limit} ${limit === 1 ? 'character' : 'characters'}`;
  if (origin === 'array') return `must have ${bound} ${limit} ${limit === 1 ? 'entry' : 'entries'}`;
  return `must be ${bound} ${limit}`;
}

const withArticle = (noun: string): string =>
  noun === 'array' ? 'a list' : /^[aeiou]/.test(noun) ? `an ${noun}` : `a ${noun}`;

function valueAt(document: unknown, path: readonly PropertyKey[]): unknown {
  return path.reduce<unknown>(
    (value, key) =>
      typeof value === 'object' && value !== null ? (value as Record<PropertyKey, unknown>)[key] : undefined,
    document,
  );
}

function valueText(value: unknown): string {
  if (typeof value === 'string') return quoted(value);
  if (Array.isArray(value)) return 'a list';
  if (typeof value === 'object' && value !== null) return 'an object';
  return String(value);
}

/** The beginning of a text, on one line. */
function quoted(text: string): string {
  const line = text.replaceAll(/\s+/g, ' ');
  return line.length > 40 ? `“${line.slice(0, 39)}…”` : `“${line}”`;
}
