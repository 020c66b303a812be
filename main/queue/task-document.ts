/**
 * A task's request or result as text for a database column. It comes back as a thread would get it: plain JSON has no
 * form for maps, bytes, missing values or NaN.
 */
import { gunzipSync, gzipSync } from 'node:zlib';

export const documentFromValue = (value: unknown): string =>
  gzipSync(JSON.stringify(withMarks(value))).toString('base64');

export const valueFromDocument = (text: string): unknown =>
  withoutMarks(JSON.parse(gunzipSync(Buffer.from(text, 'base64')).toString('utf8')));

/** An object with only this key encodes another value: `{ "=": ["map", […]] }`. */
const MARK = '=';
const marked = (kind: string, content?: unknown) => ({ [MARK]: [kind, content] });

function withMarks(value: unknown): unknown {
  if (value === undefined) return marked('none');
  if (typeof value === 'number')
    return Number.isFinite(value) && !Object.is(value, -0) ? value : marked('number', numberText(value));
  if (value === null || typeof value === 'string' || typeof value === 'boolean') return value;
  if (Array.isArray(value)) return value.map(withMarks);
  if (value instanceof Uint8Array) return marked('bytes', Buffer.from(value).toString('base64'));
  if (value instanceof Map) return marked('map', [...value].map(withMarks));
  if (value instanceof Set) return marked('set', [...value].map(withMarks));
  if (typeof value !== 'object' || ArrayBuffer.isView(value) || value instanceof Date)
    throw new TypeError(`No document has a word for ${Object.prototype.toString.call(value)}`);
  const entries = Object.entries(value).map(([key, item]) => [key, withMarks(item)]);
  return MARK in value ? marked('object', entries) : Object.fromEntries(entries);
}

function withoutMarks(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(withoutMarks);
  if (typeof value !== 'object' || value === null) return value;
  if (!(MARK in value))
    return Object.fromEntries(Object.entries(value).map(([key, item]) => [key, withoutMarks(item)]));
  const [kind, content] = value[MARK] as [string, unknown];
  switch (kind) {
    case 'none':
      return undefined;
    case 'number':
      return Number(content);
    case 'bytes':
      return new Uint8Array(Buffer.from(content as string, 'base64'));
    case 'map':
      return new Map(withoutMarks(content) as [unknown, unknown][]);
    case 'set':
      return new Set(withoutMarks(content) as unknown[]);
    default:
      return Object.fromEntries(withoutMarks(content) as [string, unknown][]);
  }
}

const numberText = (value: number): string => (Object.is(value, -0) ? '-0' : String(value));
