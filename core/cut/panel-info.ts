import { type PDFContext, PDFHexString, PDFName, type PDFRef, PDFString } from 'pdf-lib';
import { asciiBytes } from '../pdf/page/ascii-bytes.ts';

/** SHA-256 of bytes; passed in, because core has no codecs. */
export type Sha256 = (bytes: Uint8Array) => Uint8Array;

/** The document information of a panel (ISO 32000-1, 14.3.3). */
export interface PanelInfo {
  readonly title: string;
  /**
   * Date of issue, ISO 8601: `2026-11-25` or with a time, `2026-11-25T08:30:00Z`. It comes from the job, never from the
   * clock.
   */
  readonly created: string;
  /** Name and version of the program, such as `Panelwright 0.9.0`. */
  readonly program: string;
}

/**
 * The Info dictionary. Only `trapped` is copied from the source's, or a RIP would trap trapped art again. A PDF/X claim
 * is not copied, because nothing here can validate it.
 */
export function writeInfo(context: PDFContext, info: PanelInfo, trapped: unknown): PDFRef {
  const date = PDFString.of(pdfDate(info.created));
  const dict = context.obj({
    Title: PDFHexString.fromText(info.title),
    Creator: PDFHexString.fromText(info.program),
    Producer: PDFHexString.fromText(info.program),
    CreationDate: date,
    ModDate: date,
  });
  if (trapped instanceof PDFName) dict.set(PDFName.of('Trapped'), trapped);
  return context.register(dict);
}

/** `D:YYYYMMDDHHmmSSZ` (7.9.4). Throws where the text is not an ISO date: jobs are checked when they are read. */
export function pdfDate(iso: string): string {
  const parts =
    /^(\d{4})-(\d{2})-(\d{2})(?:T(\d{2}):(\d{2})(?::(\d{2}))?(?:\.\d+)?(Z|[+-]\d{2}:\d{2})?)?$/.exec(iso);
  if (!parts) throw new Error(`'${iso}' is not an ISO 8601 date`);
  const [, year, month, day, hour = '00', minute = '00', second = '00', zone = 'Z'] = parts;
  const offset = zone === 'Z' ? 'Z' : `${zone.replace(':', "'")}'`;
  return `D:${year}${month}${day}${hour}${minute}${second}${offset}`;
}

/** A file identifier that is always the same for the same cut (14.4): a digest of everything that decides its bytes. */
export function fileIdentifier(sha256: Sha256, parts: readonly string[]): PDFHexString {
  const text = parts.map((part) => `${part.length}:${part}`).join('');
  const latin = encodeURIComponent(text);
  return PDFHexString.fromBytes(sha256(asciiBytes(latin)).subarray(0, 16));
}
