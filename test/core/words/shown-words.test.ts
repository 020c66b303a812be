/** What the screens and the checks say, held against the words that the trade does not use for it. */
import { readdirSync, readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { describe, expect, it } from 'vitest';

const ROOT = resolve(import.meta.dirname, '../../..');
const PLACES = [
  'renderer',
  'core/findings',
  'core/checks',
  'core/production',
  'core/words',
  'core/proposal',
  'main/command',
];

/** A word that is not said, and what is said for it. */
const NEVER: readonly (readonly [RegExp, string])[] = [
  [/\b(?:go|goes) on as\b|\blay as number\b/i, 'install order'],
  [/\bRe-?plan\b|\blay anew\b/i, 'Re-nest'],
  [/(?<!customer )\bproofs?\b|\bsign-off\b/i, 'customer proof, or color target'],
  [/\btake it back\b|\blet go\b/i, 'remove, unlock, clear or ignore'],
  [/\bfilm size\b|\bnet (?:size|area|width|height)\b/i, 'size on roll, or visible size'],
  [/\blap joints?\b|\bshift allowance\b|\boverlaps? over by\b/i, 'overlap seam; extends past the seam by'],
  [/\bhard areas?\b/i, 'difficult ground'],
  [/\bkeep uncovered\b|\bstays free\b/i, 'no-film area'],
  [/\bbatch(?:es)?\b/i, 'lot number'],
  [/\bpart rolls?\b|\bleft over\b/i, 'partial roll, or remnant'],
  [/\bthe habit\b/i, 'equal vertical panels'],
  [/(?<!perforated )\bwindow film\b/i, 'perforated window film'],
  [/\bChoose\b|\bChosen\b/, 'Select'],
  [/\bworked out ahead\b|\bKeys and comfort\b/i, 'Estimates; Shortcuts'],
  [
    /\b(?:colou?rs?|honou?rs?|neighbou?rs?|aluminium|metres?|litres?|centres?|grey)\b(?<!color|colors|honor|honors|neighbor|neighbors)/i,
    'American spelling',
  ],
];

/** Texts that a person may read: between tags, and strings of two words or with a capital at their beginning. */
function shownTexts(source: string): string[] {
  const code = source
    .replaceAll(/\/\*[\s\S]*?\*\/|(?<=^|\s)\/\/[^\n]*/g, '')
    .replaceAll(/^import [^;]+;$/gm, '');
  const quoted = [...code.matchAll(/'((?:[^'\\\n]|\\.)*)'|"((?:[^"\\\n]|\\.)*)"|`((?:[^`\\]|\\.)*)`/g)].map(
    ([, single, double, template]) => single ?? double ?? template ?? '',
  );
  const between = [...code.matchAll(/>([^<>{}]+)</g)].map(([, text]) => text!);
  return [...quoted, ...between].filter((text) => /^[A-Z“]|\s\S/.test(text.trim()));
}

const sources = PLACES.flatMap((place) =>
  readdirSync(join(ROOT, place), { recursive: true, encoding: 'utf8' })
    .filter((name) => /\.tsx?$/.test(name))
    .map((name) => join(place, name)),
);

describe('words that are shown', () => {
  it('are those of the trade, in American English', () => {
    const found = sources.flatMap((file) =>
      shownTexts(readFileSync(join(ROOT, file), 'utf8')).flatMap((text) =>
        NEVER.filter(([word]) => word.test(text)).map(([, say]) => `${file}: “${text.trim()}”: say ${say}`),
      ),
    );
    expect(found).toEqual([]);
  });

  it('are found where they stand in code', () => {
    const source = 'const a = \'Choose a folder\'; /* proof */ return <p class="x">Ask for a proof</p>;';
    expect(shownTexts(source)).toEqual(['Choose a folder', 'Ask for a proof']);
  });
});
