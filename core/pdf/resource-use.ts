import { PDFArray, PDFDict, PDFName, type PDFObject, PDFRawStream, type PDFRef } from 'pdf-lib';
import { contentTokens } from './content-lexer.ts';
import type { Replacement } from './object-copier.ts';
import { streamData } from './stream-data.ts';

const RESOURCES = PDFName.Resources;
/** Categories whose entries are chosen by name in the content (ISO 32000-1, Table 33). */
const NAMED_CATEGORIES = [
  'ExtGState',
  'ColorSpace',
  'Pattern',
  'Shading',
  'XObject',
  'Font',
  'Properties',
].map((name) => PDFName.of(name));
/** These act without being named (8.6.5.6). */
const DEFAULT_COLOUR_SPACES = new Set(
  ['DefaultGray', 'DefaultRGB', 'DefaultCMYK'].map((name) => PDFName.of(name)),
);

/** All names that a content stream mentions, in whatever role; escapes undone. */
export function contentNames(content: Uint8Array): Set<PDFName> {
  const names = new Set<PDFName>();
  for (const token of contentTokens(content)) {
    if (token.kind === 'name') names.add(nameFromWritten(token.text));
  }
  return names;
}

/** PDFName.of undoes escapes of capital letters only. */
const nameFromWritten = (text: string): PDFName =>
  PDFName.of(text.replace(/#[0-9a-fA-F]{2}/g, (code) => code.toUpperCase()));

export interface UsedResources {
  readonly resources: PDFDict;
  /** Forms, patterns and Type 3 fonts that bring no resources and so paint with these. */
  readonly borrowers: ReadonlySet<PDFObject>;
}

/**
 * The resources that `content` may use. An entry is left out only when its name occurs nowhere in the content,
 * nor in anything kept that has no resources of its own and therefore looks names up here. Content that cannot
 * be read keeps everything.
 */
export function resourcesUsed(resources: PDFDict, content: Uint8Array): UsedResources {
  const names = contentNames(content);
  const borrowers = new Set<PDFObject>();
  for (let found = names.size, before = -1; found !== before; found = names.size) {
    before = found;
    for (const borrower of borrowersOf(resources, names)) {
      if (borrowers.has(borrower)) continue;
      borrowers.add(borrower);
      for (const stream of streamsOf(borrower)) {
        const more = namesOfStream(stream);
        if (!more) return { resources, borrowers };
        for (const name of more) names.add(name);
      }
    }
  }
  const used = PDFDict.withContext(resources.context);
  for (const [key, value] of resources.entries()) {
    const category = NAMED_CATEGORIES.includes(key) ? resources.lookup(key) : undefined;
    used.set(key, category instanceof PDFDict ? categoryUsed(category, names) : value);
  }
  return { resources: used, borrowers };
}

function categoryUsed(category: PDFDict, names: ReadonlySet<PDFName>): PDFDict {
  const used = PDFDict.withContext(category.context);
  for (const [key, value] of category.entries()) {
    if (names.has(key) || DEFAULT_COLOUR_SPACES.has(key)) used.set(key, value);
  }
  return used;
}

function namesOfStream(stream: PDFRawStream): Set<PDFName> | undefined {
  try {
    return contentNames(streamData(stream));
  } catch {
    return undefined;
  }
}

/** Everything among the used resources that paints with the names of this dictionary, because it brings none. */
function borrowersOf(resources: PDFDict, names: ReadonlySet<PDFName>): PDFObject[] {
  const used = (category: string): PDFObject[] => {
    const entries = resources.lookup(PDFName.of(category));
    if (!(entries instanceof PDFDict)) return [];
    return entries.keys().flatMap((key) => (names.has(key) ? listed(entries.lookup(key)) : []));
  };
  const forms = [...used('XObject'), ...used('Pattern'), ...used('ExtGState').flatMap(softMaskGroup)];
  const fonts = [...used('Font'), ...used('ExtGState').flatMap(fontOfState)];
  return [...forms.filter(isBorrowingStream), ...fonts.filter(isBorrowingFont)];
}

const listed = (object: PDFObject | undefined): PDFObject[] => (object ? [object] : []);

function isBorrowingStream(object: PDFObject): object is PDFRawStream {
  if (!(object instanceof PDFRawStream) || object.dict.lookup(RESOURCES) instanceof PDFDict) return false;
  return object.dict.lookup(PDFName.of('Subtype')) !== PDFName.of('Image');
}

function softMaskGroup(state: PDFObject): PDFObject[] {
  const mask = state instanceof PDFDict ? state.lookup(PDFName.of('SMask')) : undefined;
  return mask instanceof PDFDict ? listed(mask.lookup(PDFName.of('G'))) : [];
}

function fontOfState(state: PDFObject): PDFObject[] {
  const font = state instanceof PDFDict ? state.lookup(PDFName.Font) : undefined;
  return font instanceof PDFArray && font.size() > 0 ? listed(font.lookup(0)) : [];
}

/** Glyphs of a Type 3 font without Resources use those of the page (9.6.5, Table 112). */
const isBorrowingFont = (font: PDFObject): font is PDFDict =>
  font instanceof PDFDict &&
  font.lookup(PDFName.of('Subtype')) === PDFName.of('Type3') &&
  !(font.lookup(RESOURCES) instanceof PDFDict);

function streamsOf(borrower: PDFObject): PDFRawStream[] {
  if (borrower instanceof PDFRawStream) return [borrower];
  const glyphs = borrower instanceof PDFDict ? borrower.lookup(PDFName.of('CharProcs')) : undefined;
  if (!(glyphs instanceof PDFDict)) return [];
  return glyphs.keys().flatMap((key) => {
    const glyph = glyphs.lookup(key);
    return glyph instanceof PDFRawStream ? [glyph] : [];
  });
}

/** The same object with `resources` named as its own: inside another form a reader may no longer find them. */
export function borrowerWith(borrower: PDFObject, resources: PDFRef): PDFObject {
  if (!(borrower instanceof PDFRawStream) && !(borrower instanceof PDFDict)) return borrower;
  const dict = (borrower instanceof PDFRawStream ? borrower.dict : borrower).clone();
  dict.set(RESOURCES, resources);
  return borrower instanceof PDFRawStream ? PDFRawStream.of(dict, borrower.contents) : dict;
}

const slimmed = new WeakMap<PDFObject, PDFObject>();

/**
 * For the copier: forms and tiling patterns with resources of their own carry only those they use. Drawing
 * programs often give every form the resources of the whole page. Worked out once per artwork, however many
 * panels are cut.
 */
export const resourcesUsedReplacement: Replacement = (_ref: PDFRef, object: PDFObject) => {
  if (!(object instanceof PDFRawStream)) return undefined;
  const known = slimmed.get(object);
  if (known) return known;
  const isForm = object.dict.lookup(PDFName.of('Subtype')) === PDFName.of('Form');
  const isTiling = object.dict.has(PDFName.of('PatternType'));
  const resources = object.dict.lookup(RESOURCES);
  if (!(isForm || isTiling) || !(resources instanceof PDFDict)) return undefined;
  let content: Uint8Array;
  try {
    content = streamData(object);
  } catch {
    return undefined;
  }
  const dict = object.dict.clone();
  dict.set(RESOURCES, resourcesUsed(resources, content).resources);
  const slim = PDFRawStream.of(dict, object.contents);
  slimmed.set(object, slim);
  return slim;
};
