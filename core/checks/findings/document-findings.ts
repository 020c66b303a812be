import { type Finding, finding } from '../../findings/finding.ts';
import { listText } from '../../measure/list-text.ts';
import { PDFX4_CLAIM, pdfx4Check, pdfx4Facts } from '../pdfx4-check.ts';
import type { ArtworkScan } from '../scan/schema.ts';

const MAX_BREACHES = 4;

/** What the file says about itself, and what could not be looked through. `pages` are those that carry a side. */
export function documentFindings(scan: ArtworkScan, pages: ReadonlySet<number>): Finding[] {
  return [...claimFindings(scan), ...encryptionFindings(scan), ...unreadFindings(scan, pages)];
}

function claimFindings(scan: ArtworkScan): Finding[] {
  const { xmpClaim, infoClaim } = scan.document;
  const claim = xmpClaim ?? infoClaim;
  if (claim !== PDFX4_CLAIM) return [];
  const breaches = pdfx4Check(pdfx4Facts(scan));
  if (breaches.length === 0) return [];
  const shown = breaches.slice(0, MAX_BREACHES).map(({ text }) => text);
  const rest = breaches.length - shown.length;
  return [
    finding(
      'pdfx4-broken',
      'warn',
      {},
      `The artwork claims to be PDF/X-4 but breaks its rules: ${listText(rest > 0 ? [...shown, `${rest} more`] : shown)}.`,
      'Ask for a PDF that was checked against PDF/X-4, or go by the other findings and not by the claim.',
      breaches.length,
    ),
  ];
}

function encryptionFindings({ document }: ArtworkScan): Finding[] {
  if (!document.isEncrypted) return [];
  return [
    finding(
      'artwork-encrypted',
      'note',
      {},
      'The artwork is protected by encryption; the panels are not.',
      'Nothing to do, unless the customer wants the panels encrypted as well.',
    ),
  ];
}

function unreadFindings({ problems, pages: scanned }: ArtworkScan, pages: ReadonlySet<number>): Finding[] {
  return [
    ...problems
      .filter(({ page }) => pages.has(page))
      .map(({ page, message }) =>
        finding(
          'page-not-checked',
          'warn',
          { page },
          `Page ${page} of the artwork could not be checked (${message.replace(/\.$/, '')}).`,
          'Check the page with the RIP, or ask for a new export.',
        ),
      ),
    ...scanned
      .filter(({ number, unreadable }) => pages.has(number) && unreadable > 0)
      .map(({ number, unreadable }) =>
        finding(
          'page-parts-unreadable',
          'warn',
          { page: number },
          `Page ${number} places ${unreadable === 1 ? 'one part' : `${unreadable} parts`} that cannot be read, and prints without ${unreadable === 1 ? 'it' : 'them'}.`,
          'Compare the page with the customer proof, or ask for a new export.',
          unreadable,
        ),
      ),
  ];
}
