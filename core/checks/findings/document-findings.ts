import { type Finding, finding, withFigure } from '../../findings/finding.ts';
import type { ArtworkScan } from '../scan/schema.ts';

/**
 * What the file states about itself, and what could not be scanned. `pages` are those that carry a side. Keeps AC18.
 */
export function documentFindings(scan: ArtworkScan, pages: ReadonlySet<number>): Finding[] {
  return [...encryptionFindings(scan), ...unreadFindings(scan, pages)];
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
        withFigure(
          unreadable,
          finding(
            'page-parts-unreadable',
            'warn',
            { page: number },
            `Page ${number} places ${unreadable === 1 ? 'one part' : `${unreadable} parts`} that cannot be read, and prints without ${unreadable === 1 ? 'it' : 'them'}.`,
            'Compare the page with the customer proof, or ask for a new export.',
          ),
        ),
      ),
  ];
}
