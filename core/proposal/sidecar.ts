/**
 * A few lines of text beside an artwork that comes in by a watched folder, one `name: value` a line:
 *
 *     job: ACL-0500
 *     customer: Alder County Library
 *     saved layout: Panel van
 *     scale: 1:10
 *     unit numbers: BM-07, BM-08
 *     film: White cast film
 *
 * ```ts
 * sidecarFromText('job: ACL-0500\nscale: 1:10').value; // → { job: 'ACL-0500', scale: 10 }
 * sidecarFromText('job: ACL-0500\ncolour: red').problem.code; // → 'sidecar-line'
 * ```
 */
import { VehicleKind } from '../job/schema.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../measure/result.ts';

export interface Sidecar {
  readonly job?: string;
  readonly name?: string;
  readonly customer?: string;
  readonly kind?: VehicleKind;
  readonly savedLayout?: string;
  /** Finished size ÷ drawn size. */
  readonly scale?: number;
  readonly unitNumbers?: readonly string[];
  /** The name that the shop uses for it. */
  readonly film?: string;
}

const NAMES = {
  job: 'job',
  'job number': 'job',
  name: 'name',
  customer: 'customer',
  vehicle: 'kind',
  'saved layout': 'savedLayout',
  scale: 'scale',
  'unit number': 'unitNumbers',
  'unit numbers': 'unitNumbers',
  film: 'film',
} as const satisfies Record<string, keyof Sidecar>;

const KNOWN = 'job, name, customer, vehicle, saved layout, scale, unit numbers, film';
const MOST_TEXT = 200;

/** Ignores empty lines and lines that begin with #. */
export function sidecarFromText(text: string): Result<Sidecar> {
  const said: Record<string, unknown> = {};
  const lines = text.replace(/^\uFEFF/, '').split(/\r\n|\n|\r/);
  for (const [index, line] of lines.entries()) {
    if (line.trim() === '' || line.trimStart().startsWith('#')) continue;
    const [, name = '', value = ''] = /^([^:=]*)[:=](.*)$/.exec(line) ?? [];
    const key = NAMES[name.trim().toLowerCase().replaceAll(/\s+/g, ' ') as keyof typeof NAMES];
    if (!key) return resultProblem(badLine(index + 1, line, `Begin it with one of: ${KNOWN}.`));
    if (key in said) return resultProblem(badLine(index + 1, line, 'Say it once: an earlier line says it.'));
    const read = VALUES[key](value.trim());
    if (read === undefined) return resultProblem(badLine(index + 1, line, WANTED[key]));
    said[key] = read;
  }
  return resultOk(said as Sidecar);
}

const words = (value: string) => (value !== '' && value.length <= MOST_TEXT ? value : undefined);

const VALUES: { readonly [K in keyof Sidecar]-?: (value: string) => Sidecar[K] } = {
  job: words,
  name: words,
  customer: words,
  savedLayout: words,
  film: words,
  kind: (value) => VehicleKind.safeParse(value.toLowerCase().replaceAll(' ', '-')).data,
  scale: (value) => {
    const scale = Number(value.replace(/^1\s*:\s*/, '').replace(',', '.'));
    return scale > 0 && scale <= 1000 ? scale : undefined;
  },
  unitNumbers: (value) => {
    const numbers = value.split(/[,;]/).map((each) => each.trim());
    return numbers.every((each) => words(each) !== undefined) ? numbers : undefined;
  },
};

const TEXT_WANTED = `Write 1 to ${MOST_TEXT} letters after the colon.`;
const WANTED: Readonly<Record<keyof Sidecar, string>> = {
  job: TEXT_WANTED,
  name: TEXT_WANTED,
  customer: TEXT_WANTED,
  savedLayout: TEXT_WANTED,
  film: TEXT_WANTED,
  kind: `Write one of: ${VehicleKind.options.join(', ')}.`,
  scale: 'Write it as 1:10 or 10, at most 1:1000.',
  unitNumbers: 'Write unit numbers with commas between them.',
};

const badLine = (number: number, line: string, remedy: string): Problem => ({
  code: 'sidecar-line',
  message: `Line ${number} of the text beside it, “${line.trim().slice(0, 80)}”, cannot be used.`,
  remedy,
});
