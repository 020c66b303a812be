/** Changes to a PDF that keep enough of it for the damage to reach deep: they know tokens, objects and streams. */
import { deflateSync, inflateSync } from 'node:zlib';

/** Numbers in [0, 1). */
export type Random = () => number;

export const pick = <T>(random: Random, from: readonly T[]): T => from[Math.floor(random() * from.length)]!;
const below = (random: Random, limit: number): number => Math.floor(random() * limit);

const ODD_NUMBERS = [
  '0',
  '-1',
  '1',
  '-0.0',
  '2147483647',
  '-2147483648',
  '4294967296',
  '99999999999999999999',
  '1e308',
  'NaN',
  '0.0000000000001',
  '65536',
  '255',
  '3',
  '--7',
  '.',
  '1.2.3',
  '000000000000005',
  '16154.4',
  '1e-320',
] as const;

const ODD_WORDS = [
  'null',
  'true',
  '[]',
  '<< >>',
  '()',
  '<>',
  '<',
  '>>',
  '[',
  ']',
  '(',
  '/',
  '//',
  'R',
  '0 0 R',
  '1 0 R',
  '2 0 R',
  '3 0 R',
  '5 0 R',
  '20 0 R',
  '21 0 R',
  '9999 0 R',
  'obj',
  'endobj',
  'stream\n',
  'endstream',
  'xref',
  'trailer',
  'startxref',
  '%%EOF',
  '%',
  '\0',
  '/Length 9',
  '/Kids [2 0 R]',
  '/Filter /FlateDecode',
  '/Filter [/LZWDecode /ASCII85Decode]',
  '/DecodeParms << /Predictor 15 /Columns 7 >>',
  '/UserUnit 1e9',
  '/Rotate 450',
  '/Type /ObjStm',
  '/Subtype /Form',
  '/Resources 3 0 R',
  '/Group << /S /Transparency >>',
  'BI',
  'ID',
  'EI',
  'q',
  'Q',
  'Do',
  'BT',
  'ET',
  'Tj',
  'cm',
  'gs',
] as const;

type Mutation = (text: string, random: Random) => string;

const spliced = (text: string, from: number, to: number, by: string) =>
  text.slice(0, from) + by + text.slice(to);

/** A place where the pattern matches, chosen evenly; undefined where there is none. */
function placeOf(text: string, pattern: RegExp, random: Random): RegExpExecArray | undefined {
  const all = [...text.matchAll(pattern)];
  return all.length === 0 ? undefined : (pick(random, all) as RegExpExecArray);
}

const replaced =
  (pattern: RegExp, by: (found: string, random: Random, text: string) => string): Mutation =>
  (text, random) => {
    const place = placeOf(text, pattern, random);
    if (!place) return text;
    return spliced(text, place.index, place.index + place[0].length, by(place[0], random, text));
  };

const NUMBER = /(?<![\w.])[-+]?\d+(?:\.\d+)?(?![\w.])/g;
const NAME = /\/[A-Za-z][A-Za-z0-9]*/g;
const REFERENCE = /\b\d+ \d+ R\b/g;
const OBJECT = /\d+ 0 obj\b[\s\S]*?endobj/g;
const TOKEN = /[^\s[\]<>()/]+/g;

const MUTATIONS: readonly Mutation[] = [
  replaced(NUMBER, (_, random) => pick(random, ODD_NUMBERS)),
  replaced(NUMBER, (found, random) => `${Number(found) * pick(random, [-1, 2, 10, 1e6, 0.001, 1e30])}`),
  replaced(NAME, (_, random, text) => placeOf(text, NAME, random)![0]),
  replaced(REFERENCE, (_, random, text) => placeOf(text, REFERENCE, random)![0]),
  replaced(REFERENCE, (_, random) => `${below(random, 40)} 0 R`),
  replaced(/\/Length \d+/g, (_, random) => `/Length ${pick(random, ODD_NUMBERS)}`),
  replaced(/startxref\s+\d+/g, (_, random) => `startxref\n${below(random, 3000)}`),
  replaced(TOKEN, (_, random) => pick(random, ODD_WORDS)),
  replaced(TOKEN, (found, random) => `${found} ${pick(random, ODD_WORDS)} `),
  // An object twice, under its own or another's number, or gone.
  replaced(OBJECT, (found, random) => `${found}\n${found.replace(/^\d+/, `${below(random, 30)}`)}`),
  replaced(OBJECT, (_, random, text) => placeOf(text, OBJECT, random)![0]),
  replaced(OBJECT, () => ''),
  // Something nested in itself, many times.
  replaced(
    /\[[^[\]]{0,80}\]/g,
    (found, random) => '['.repeat(1 << below(random, 14)) + found + ']'.repeat(1 << below(random, 14)),
  ),
  replaced(/<<[^<>]{0,80}>>/g, (found, random) => '<< /A '.repeat(1 << below(random, 12)) + found),
  replaced(/stream\r?\n[\s\S]*?endstream/g, (found, random) => streamRepeated(found, random)),
  replaced(/stream\r?\n[\s\S]*?endstream/g, (found) => `stream\n${packed(found)}\nendstream`),
  // Cuts and moves that know nothing.
  (text, random) => text.slice(0, below(random, text.length)),
  (text, random) => text.slice(below(random, 200)),
  (text, random) => {
    const from = below(random, text.length);
    return spliced(text, from, from + 1 + below(random, 64), '');
  },
  (text, random) => {
    const from = below(random, text.length);
    const piece = text.slice(from, from + 1 + below(random, 400));
    const to = below(random, text.length);
    return spliced(text, to, to, piece.repeat(1 + below(random, 3)));
  },
  (text, random) => {
    const at = below(random, text.length);
    return spliced(text, at, at + 1, String.fromCharCode(below(random, 256)));
  },
  (text, random) => {
    const at = below(random, text.length);
    return spliced(
      text,
      at,
      at,
      Array.from({ length: 16 }, () => String.fromCharCode(below(random, 256))).join(''),
    );
  },
];

function streamRepeated(found: string, random: Random): string {
  const data = found.replace(/^stream\r?\n/, '').replace(/\r?\nendstream$/, '');
  const times = Math.min(2 ** below(random, 8), Math.ceil(MAX_BYTES / (data.length + 1)));
  return `stream\n${`${data} `.repeat(times)}\nendstream`;
}

function packed(found: string): string {
  const data = Buffer.from(found.slice('stream\n'.length, -'endstream'.length), 'latin1');
  return deflateSync(data).toString('latin1');
}

/** Streams unpacked where they are packed, so that changes reach the content and not only its packing. */
export function unpackedPdf(bytes: Uint8Array): Uint8Array {
  const text = Buffer.from(bytes).toString('latin1');
  const plain = text.replaceAll(
    /\/Filter\s*\/FlateDecode\b([^>]*>>\s*)stream\r?\n([\s\S]*?)\r?\nendstream/g,
    (whole, rest: string, data: string) => {
      try {
        return `${rest}stream\n${inflateSync(Buffer.from(data, 'latin1'), { maxOutputLength: MAX_BYTES }).toString('latin1')}\nendstream`;
      } catch {
        return whole;
      }
    },
  );
  return Buffer.from(plain, 'latin1');
}

const MAX_CHANGES = 6;
/** Growth is one of the ideas; what no mail would carry is none. */
const MAX_BYTES = 4 * 2 ** 20;

/** One to six changes. */
export function mutated(seed: Uint8Array, random: Random): Uint8Array {
  let text = Buffer.from(seed).toString('latin1');
  for (let changes = 1 + below(random, MAX_CHANGES); changes > 0; changes--) {
    const changed = pick(random, MUTATIONS)(text, random);
    if (changed.length <= MAX_BYTES) text = changed;
  }
  return Buffer.from(text, 'latin1');
}
