import { withPdfFile } from './tool-renderers.ts';
import { runTool } from './tools.ts';

/** A PDF object as qpdf prints it: references as `12 0 R`, names with their slash, strings as `u:…` or `b:…`. */
export type QpdfValue = null | boolean | number | string | QpdfValue[] | QpdfDict;
export interface QpdfDict {
  readonly [key: string]: QpdfValue;
}

interface QpdfStream {
  readonly dict: QpdfDict;
  readonly data: string;
}

/** A PDF as qpdf, a parser of its own, understands it. */
export interface QpdfDocument {
  readonly version: string;
  readonly trailer: QpdfDict;
  readonly isEncrypted: boolean;
  readonly objectCount: number;
  /** The value itself, its references resolved once. */
  resolve(value: QpdfValue | undefined): QpdfValue;
  /** A dictionary, or that of a stream; throws where it is something else. */
  dict(value: QpdfValue | undefined): QpdfDict;
  /** The decoded data of a stream. */
  data(value: QpdfValue): Buffer;
  /** All references resolved, streams as dictionary and data; a cycle ends in `…`. */
  expanded(value: QpdfValue | undefined): unknown;
}

const REFERENCE = /^\d+ \d+ R$/;

export function qpdfDocument(pdf: Uint8Array): QpdfDocument {
  const json = withPdfFile(pdf, (path) =>
    runTool('qpdf', ['--json=2', '--json-stream-data=inline', '--decode-level=generalized', path]),
  );
  const parsed = JSON.parse(json.toString('utf8')) as {
    encrypt: { encrypted: boolean };
    qpdf: [{ pdfversion: string }, Record<string, { value?: QpdfValue; stream?: QpdfStream }>];
  };
  const objects = parsed.qpdf[1];
  const entry = (value: QpdfValue | undefined) =>
    typeof value === 'string' && REFERENCE.test(value) ? objects[`obj:${value}`] : undefined;

  const resolve = (value: QpdfValue | undefined): QpdfValue => {
    if (value === undefined) return null;
    const found = entry(value);
    if (!found) return typeof value === 'string' && REFERENCE.test(value) ? null : value;
    return found.stream ? found.stream.dict : (found.value ?? null);
  };
  const dict = (value: QpdfValue | undefined): QpdfDict => {
    const found = resolve(value);
    if (found === null || typeof found !== 'object' || Array.isArray(found)) {
      throw new Error(`${JSON.stringify(value)} is no dictionary`);
    }
    return found;
  };
  const data = (value: QpdfValue): Buffer => {
    const stream = entry(value)?.stream;
    if (!stream) throw new Error(`${JSON.stringify(value)} is no stream`);
    return Buffer.from(stream.data, 'base64');
  };
  const expanded = (value: QpdfValue | undefined, above: readonly string[] = []): unknown => {
    if (typeof value === 'string' && REFERENCE.test(value)) {
      if (above.includes(value)) return '…';
      const deeper = [...above, value];
      const stream = entry(value)?.stream;
      if (!stream) return expanded(resolve(value), deeper);
      const { '/Length': _length, ...rest } = stream.dict;
      return { stream: expanded(rest, deeper), data: stream.data };
    }
    if (Array.isArray(value)) return value.map((item) => expanded(item, above));
    if (value !== null && typeof value === 'object') {
      return Object.fromEntries(Object.entries(value).map(([key, item]) => [key, expanded(item, above)]));
    }
    return value ?? null;
  };
  return {
    version: parsed.qpdf[0].pdfversion,
    trailer: dict(objects.trailer?.value ?? null),
    isEncrypted: parsed.encrypt.encrypted,
    objectCount: Object.keys(objects).filter((key) => key.startsWith('obj:')).length,
    resolve,
    dict,
    data,
    expanded: (value) => expanded(value),
  };
}

/** Fails with qpdf's own words unless the file is clean: syntax, cross-reference and stream data. */
export function checkWithQpdf(pdf: Uint8Array): void {
  withPdfFile(pdf, (path) => {
    const said = runTool('qpdf', ['--check', path]).toString();
    if (!said.includes('No syntax or stream encoding errors found')) throw new Error(said);
  });
}

export interface QpdfPage {
  readonly catalog: QpdfDict;
  readonly page: QpdfDict;
}

/** Catalog and only page of a panel. */
export function qpdfPanel(document: QpdfDocument): QpdfPage {
  const catalog = document.dict(document.trailer['/Root']);
  const kids = document.dict(catalog['/Pages'])['/Kids'];
  if (!Array.isArray(kids) || kids.length !== 1) throw new Error('A panel has one page');
  return { catalog, page: document.dict(kids[0]) };
}

/** The form that holds the art of a panel. */
export function qpdfArt(document: QpdfDocument): { readonly ref: QpdfValue; readonly dict: QpdfDict } {
  const { page } = qpdfPanel(document);
  const ref = document.dict(document.dict(page['/Resources'])['/XObject'])['/Art'] ?? null;
  return { ref, dict: document.dict(ref) };
}
