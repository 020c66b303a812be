import { PDFArray, type PDFContext, PDFDict, PDFName, type PDFObject, PDFRef } from 'pdf-lib';

const KIDS = PDFName.of('Kids');
const COUNT_LIMIT = 1_000_000;

/** The attributes that a page takes from the nodes above it: exactly these four (ISO 32000-1, Tables 29 and 30). */
export const INHERITED_KEYS = ['Resources', 'MediaBox', 'CropBox', 'Rotate'] as const;
export type InheritedKey = (typeof INHERITED_KEYS)[number];

/** One page with its inherited attributes resolved. */
export interface SourcePage {
  readonly dict: PDFDict;
  readonly inherited: ReadonlyMap<InheritedKey, PDFObject>;
}

/**
 * The pages in order. Broken trees are walked as far as they go: missing kids are passed over, nodes met again
 * above themselves are not entered, and a node counts as a page when it has no kids. Without any tree, all
 * objects of type Page are taken in the order of their numbers.
 */
export function sourcePages(context: PDFContext, catalog: PDFDict): SourcePage[] {
  const root = catalog.lookup(PDFName.of('Pages'));
  const pages = root instanceof PDFDict ? pagesUnder(root) : [];
  if (pages.length > 0) return pages;
  return context
    .enumerateIndirectObjects()
    .flatMap(([, object]) =>
      object instanceof PDFDict && object.get(PDFName.Type) === PDFName.Page
        ? [{ dict: object, inherited: inheritedBy(object, new Map()) }]
        : [],
    );
}

interface Visit {
  readonly node: PDFDict;
  readonly inherited: ReadonlyMap<InheritedKey, PDFObject>;
}

function pagesUnder(root: PDFDict): SourcePage[] {
  const pages: SourcePage[] = [];
  const entered = new Set<PDFDict>();
  const waiting: Visit[] = [{ node: root, inherited: new Map() }];
  for (let visit = waiting.pop(); visit && pages.length < COUNT_LIMIT; visit = waiting.pop()) {
    const { node } = visit;
    const inherited = inheritedBy(node, visit.inherited);
    const kids = node.lookup(KIDS);
    if (!(kids instanceof PDFArray)) {
      if (node !== root || node.get(PDFName.Type) === PDFName.Page) pages.push({ dict: node, inherited });
      continue;
    }
    if (entered.has(node)) continue;
    entered.add(node);
    for (let index = kids.size() - 1; index >= 0; index -= 1) {
      const kid = kids.lookup(index);
      if (kid instanceof PDFDict) waiting.push({ node: kid, inherited });
    }
  }
  return pages;
}

function inheritedBy(
  node: PDFDict,
  above: ReadonlyMap<InheritedKey, PDFObject>,
): ReadonlyMap<InheritedKey, PDFObject> {
  const own = new Map(above);
  for (const key of INHERITED_KEYS) {
    const value = node.lookup(PDFName.of(key));
    if (value) own.set(key, resolvedOnce(node, key, value));
  }
  return own;
}

/** Keeps the reference where there is one, so that shared resources are copied once. */
function resolvedOnce(node: PDFDict, key: InheritedKey, value: PDFObject): PDFObject {
  const written = node.get(PDFName.of(key));
  return written instanceof PDFRef ? written : value;
}
