import { expect, it } from 'vitest';
import { pixelCut } from '../../support/panel-check.ts';
import {
  type QpdfDict,
  type QpdfDocument,
  qpdfArt,
  qpdfDocument,
  qpdfPanel,
} from '../../support/qpdf-json.ts';
import { describeWithTools } from '../../support/tools.ts';
import { TRAP_PAGES } from '../../support/trap-pages.ts';

/** Operators that choose or use a color, a state or a resource (ISO 32000-1, Table 74 and Annex A). */
const COLOR_OPERATORS = new Set('g G rg RG k K cs CS sc SC scn SCN ri gs sh Do Tf d0 d1 BI ID EI'.split(' '));

/** Resources that color depends on; only those that the content names. */
const COLOR_RESOURCES = ['/ColorSpace', '/Pattern', '/Shading', '/ExtGState', '/XObject', '/Font'];

/**
 * Each color operator with its operands, in order. Written for the trap pages, whose strings hold no
 * operators; inline image data are cut out first.
 */
function colorOperations(content: string): string[] {
  const words = content
    .replace(/\bID [\s\S]*? EI(?=\s*Q)/g, 'ID EI')
    .replace(/\([^)]*\)/g, '()')
    .split(/[\s[\]]+/);
  const found: string[] = [];
  let operands: string[] = [];
  for (const word of words) {
    if (/^[-+.\d/(<]/.test(word)) operands.push(word);
    else {
      if (COLOR_OPERATORS.has(word)) found.push([...operands, word].join(' '));
      operands = [];
    }
  }
  return found;
}

/** Painting operators: what fills, what strokes. Text goes by its mode, and what `Do` paints with is for pictures to tell. */
const FILLS = new Set(['f', 'F', 'f*', 'B', 'B*', 'b', 'b*']);
const STROKES = new Set(['S', 's', 'B', 'B*', 'b', 'b*']);
const SHOWS = new Set(['Tj', 'TJ', "'", '"']);

/** Each painting operator with the operators that set the colors it paints with (ISO 32000-1, 8.6.8 and 9.3.6). */
function paintedColors(content: string): string[] {
  const words = content
    .replace(/\bID [\s\S]*? EI(?=\s*Q)/g, 'ID EI')
    .replace(/\([^)]*\)/g, '()')
    .split(/[\s[\]]+/);
  let state = { fill: ['none'], stroke: ['none'], mode: 0 };
  const saved: (typeof state)[] = [];
  const found: string[] = [];
  let operands: string[] = [];
  for (const word of words) {
    if (/^[-+.\d/(<]/.test(word)) {
      operands.push(word);
      continue;
    }
    const operation = [...operands, word].join(' ');
    if (word === 'q') saved.push(state);
    else if (word === 'Q') state = saved.pop() ?? state;
    else if (word === 'Tr') state = { ...state, mode: Number(operands.at(-1)) % 4 };
    else if (/^(g|rg|k|cs)$/.test(word)) state = { ...state, fill: [operation] };
    else if (/^(G|RG|K|CS)$/.test(word)) state = { ...state, stroke: [operation] };
    else if (/^scn?$/.test(word)) state = { ...state, fill: [state.fill[0]!, operation] };
    else if (/^SCN?$/.test(word)) state = { ...state, stroke: [state.stroke[0]!, operation] };
    const isShown = SHOWS.has(word) && state.mode !== 3;
    const isFilled = FILLS.has(word) || word === 'BI' || (isShown && state.mode !== 1);
    const isStroked = STROKES.has(word) || (isShown && state.mode > 0);
    if (isFilled || isStroked || word === 'sh' || word === 'Do') {
      found.push([word, ...(isFilled ? state.fill : []), ...(isStroked ? state.stroke : [])].join(' | '));
    }
    operands = [];
  }
  return found;
}

/** Whether all of `some` stand in `all`, in this order. */
function isSubsequence(some: readonly string[], all: readonly string[]): boolean {
  let next = 0;
  for (const one of all) if (one === some[next]) next += 1;
  return next === some.length;
}

function sourceContent(file: QpdfDocument, page: QpdfDict): string {
  const contents = page['/Contents'] ?? null;
  const resolved = Array.isArray(contents) ? contents : [contents];
  return resolved.map((ref) => file.data(ref).toString('latin1')).join('\n');
}

function inherited(file: QpdfDocument, page: QpdfDict, key: string): QpdfDict {
  for (let node: QpdfDict = page; ; node = file.dict(node['/Parent'])) {
    if (node[key] !== undefined) return file.dict(node[key]);
    if (node['/Parent'] === undefined) return {};
  }
}

/** What each kept name stands for, in full: spaces, functions, inks, alternates, dictionaries, streams. */
function definitions(file: QpdfDocument, resources: QpdfDict, category: string): Record<string, unknown> {
  if (resources[category] === undefined) return {};
  return file.expanded(file.dict(resources[category])) as Record<string, unknown>;
}

/** A borrower's Resources are made its own; apart from that it must stay as it was. */
function withoutOwnResources(definition: unknown): unknown {
  const text = JSON.stringify(definition, (key, value: unknown) =>
    key === '/Resources' ? undefined : value,
  );
  return JSON.parse(text);
}

describeWithTools(['qpdf'], 'CUT7 color goes out as it came in, by qpdf', () => {
  for (const { name, pdf, windows } of TRAP_PAGES) {
    it(`${name}`, async () => {
      const { panel } = await pixelCut(pdf, { window: windows[0]! });
      const before = qpdfDocument(pdf);
      const after = qpdfDocument(panel.bytes);
      const source = qpdfPanel(before).page;
      const art = qpdfArt(after);
      const operations = colorOperations(sourceContent(before, source));
      expect(operations.length).toBeGreaterThan(0);
      const content = after.data(art.ref).toString('latin1');
      // Only what sets a color that nothing is painted with may be missing.
      expect(isSubsequence(colorOperations(content), operations)).toBe(true);
      expect(paintedColors(content)).toEqual(paintedColors(sourceContent(before, source)));
      const unset = (list: readonly string[]) =>
        list.filter((one) => !/ (?:g|G|rg|RG|k|K|cs|CS|sc|SC|scn|SCN)$/.test(one));
      expect(unset(colorOperations(content))).toEqual(unset(operations));

      const given = inherited(before, source, '/Resources');
      const kept = after.dict(art.dict['/Resources']);
      for (const category of COLOR_RESOURCES) {
        const was = definitions(before, given, category);
        for (const [key, definition] of Object.entries(definitions(after, kept, category))) {
          expect(withoutOwnResources(definition)).toEqual(withoutOwnResources(was[key]));
        }
      }
      for (const operation of colorOperations(content)) {
        const [resource, category] = [/(\/\w+) (?:scn|SCN|sh|gs|Do|cs|CS)$/.exec(operation)?.[1], operation];
        if (resource && !/^\/(Device|Pattern)/.test(resource)) {
          expect(JSON.stringify(kept), category).toContain(JSON.stringify(resource));
        }
      }
    });
  }
});
