import type { Artwork } from '../pdf/document/artwork.ts';
import { PDFX4_CLAIM, pdfx4Check, pdfx4Facts } from './pdfx4-check.ts';
import { documentScan } from './scan/document-scan.ts';
import { pageClaimScan } from './scan/page-scan.ts';

/**
 * What one page of an artwork breaks, as half sentences; undefined where the artwork does not claim PDF/X-4. `box` is
 * of no account to the rules. @throws PdfProblem where the page cannot be read
 */
export async function pdfx4PageBreaches(artwork: Artwork, number: number): Promise<string[] | undefined> {
  const document = await documentScan(artwork.file);
  if (document.xmpClaim !== PDFX4_CLAIM) return undefined;
  const page = await pageClaimScan(artwork, number);
  return pdfx4Check(pdfx4Facts({ document, pages: [page] })).map(({ text }) => text);
}
