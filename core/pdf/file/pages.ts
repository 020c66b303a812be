import { type PDFDict, PDFName, type PDFObject, PDFRef } from 'pdf-lib';
import { arrayOf, dictOf, nameOf } from './dict-values.ts';
import type { PdfFile } from './pdf-file.ts';
import { problemTooLarge } from './pdf-problem.ts';

/** The four attributes that a page inherits from its ancestors, ISO 32000-1, Table 30. UserUnit is not one of them. */
const INHERITED = ['Resources', 'MediaBox', 'CropBox', 'Rotate'] as const;
type Inherited = { readonly [K in (typeof INHERITED)[number]]?: PDFObject };

const MAX_DEPTH = 256;
const MAX_PAGES = 1_000_000;

/** A page with what it inherits. */
export interface PdfPage {
  /** From 0. */
  readonly index: number;
  readonly ref: PDFRef | undefined;
  readonly dict: PDFDict;
  readonly inherited: Inherited;
}

/** An attribute of the page, its own or inherited, with references followed. */
export const pageAttribute = (
  file: PdfFile,
  page: PdfPage,
  key: (typeof INHERITED)[number],
): Promise<PDFObject | undefined> => file.resolved(page.dict.get(PDFName.of(key)) ?? page.inherited[key]);

/**
 * The pages in order, found on demand. The walk follows the tree itself, not Count: real files have nodes without Type,
 * missing kids, and branches that lead back to themselves.
 */
export async function* pdfPages(file: PdfFile): AsyncGenerator<PdfPage> {
  const root = (await file.catalog()).get(PDFName.of('Pages'));
  const seen = new Set<PDFObject>();
  let index = 0;
  interface Node {
    readonly object: PDFObject;
    readonly inherited: Inherited;
    readonly depth: number;
  }
  const pending: Node[] = root === undefined ? [] : [{ object: root, inherited: {}, depth: 0 }];
  for (let node = pending.pop(); node !== undefined; node = pending.pop()) {
    const { object, inherited, depth } = node;
    const dict = dictOf(await file.resolved(object));
    if (dict === undefined || seen.has(dict) || depth > MAX_DEPTH) continue;
    const kids = arrayOf(await file.entry(dict, 'Kids'));
    if (kids === undefined || nameOf(dict.get(PDFName.Type)) === 'Page') {
      if (index >= MAX_PAGES) throw problemTooLarge(`The PDF lists more than ${MAX_PAGES} pages.`);
      yield { index: index++, ref: object instanceof PDFRef ? object : undefined, dict, inherited };
      continue;
    }
    // A page may be listed twice; a branch may not, or the walk would not end.
    seen.add(dict);
    const own: { -readonly [K in keyof Inherited]: Inherited[K] } = { ...inherited };
    for (const key of INHERITED) {
      const value = dict.get(PDFName.of(key));
      if (value !== undefined) own[key] = value;
    }
    for (const kid of kids.asArray().reverse())
      pending.push({ object: kid, inherited: own, depth: depth + 1 });
  }
}
