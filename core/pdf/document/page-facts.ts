import { PDFArray, PDFDict, PDFStream } from 'pdf-lib';
import { type ContentFacts, contentFacts } from '../content/page-content.ts';
import { textOf } from '../file/dict-values.ts';
import type { PdfPage } from '../file/pages.ts';
import type { PdfFile } from '../file/pdf-file.ts';
import { isPdfProblem } from '../file/pdf-problem.ts';
import { latin1 } from '../file/syntax.ts';

/** Facts about the whole file that a check may report to the operator. */
export interface DocumentFacts {
  /** The PDF/X version that the file claims, such as `PDF/X-4`; panels keep no other such claim. */
  readonly pdfxClaim: string | undefined;
  readonly isEncrypted: boolean;
  /** Whether the file's structure was damaged and had to be repaired. */
  readonly isRepaired: boolean;
}

/** The same facts, and those of one page. */
export interface PageFacts extends DocumentFacts, ContentFacts {
  /** Number of annotations (comments, form fields, stamps); they are not artwork and are left out. */
  readonly annotations: number;
}

export async function documentFacts(file: PdfFile): Promise<DocumentFacts> {
  const catalog = await file.catalog();
  return {
    pdfxClaim: await pdfxClaim(file, catalog),
    isEncrypted: file.isEncrypted,
    isRepaired: file.isRepaired,
  };
}

/**
 * `known`: the facts found when this file was opened before. @throws PdfProblem where the page's content cannot be
 * read.
 */
export async function pageFacts(
  file: PdfFile,
  page: PdfPage,
  document: DocumentFacts,
  known?: ContentFacts,
): Promise<PageFacts> {
  const annotations = await file.entry(page.dict, 'Annots');
  const content = known ?? (await contentFacts(file, page));
  return {
    ...document,
    // Any read may discover damage.
    isRepaired: file.isRepaired,
    annotations: annotations instanceof PDFArray ? annotations.size() : 0,
    isUnbalanced: content.isUnbalanced,
    isCutOff: content.isCutOff,
    isBlank: content.isBlank,
  };
}

/** PDF/X-1a and X-3 state their version in Info (ISO 15930-1 and -3), X-4 in the XMP (ISO 15930-7). */
async function pdfxClaim(file: PdfFile, catalog: PDFDict): Promise<string | undefined> {
  const info = await documentInfo(file);
  const stated = textOf(await file.entry(info, 'GTS_PDFXVersion'));
  if (stated) return stated;
  try {
    const metadata = await file.entry(catalog, 'Metadata');
    if (!(metadata instanceof PDFStream)) return undefined;
    const xmp = latin1((await file.streamDecoded(metadata)).bytes);
    return /GTS_PDFXVersion(?:>|\s*=\s*["'])\s*([^<"']+)/.exec(xmp)?.[1]?.trim();
  } catch (error) {
    if (!isPdfProblem(error)) throw error;
    return undefined;
  }
}

/** The Info dictionary in the trailer. */
export async function documentInfo(file: PdfFile): Promise<PDFDict | undefined> {
  const info = await file.entry(file.trailer, 'Info');
  return info instanceof PDFDict ? info : undefined;
}

/** The later of the versions in the header and the catalog (ISO 32000-1, 7.2.2), such as 1.7. */
export async function documentVersion(file: PdfFile): Promise<number> {
  const header = /%PDF-(\d\.\d)/.exec(latin1(await file.source.read(0, 1024)))?.[1];
  const stated = await file.entry(await file.catalog(), 'Version');
  const later = stated?.toString().slice(1);
  const versions = [header, later, '1.3'].map(Number);
  return Math.max(...versions.filter((version) => version >= 1 && version <= 2));
}
