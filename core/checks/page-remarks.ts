/** What the pages of an artwork tell the operator as soon as it is opened: comments, damage, claims, missing sizes. */
import { type Finding, finding, type Severity } from '../findings/finding.ts';
import type { Problem } from '../measure/result.ts';
import type { ArtworkPage } from '../pdf/document/artwork.ts';

export interface OpenedPages {
  /** Usable pages. */
  readonly pages: readonly ArtworkPage[];
  /** Why the other pages cannot be used, by page number. */
  readonly pageProblems: ReadonlyMap<number, Problem>;
}

export const pageRemarks = ({ pages, pageProblems }: OpenedPages): Finding[] => [
  ...[...pageProblems].map(([page, { code, message, remedy }]) =>
    finding(code, 'stop', { page }, message, remedy),
  ),
  ...pages.flatMap(remarksOf),
];

function remarksOf(page: ArtworkPage): Finding[] {
  const findings: Finding[] = [];
  const say = (code: string, severity: Severity, message: string, remedy: string) =>
    findings.push(finding(code, severity, { page: page.number }, message, remedy));
  const { facts } = page;
  if (facts.isBlank) {
    say(
      'page-blank',
      'stop',
      `Page ${page.number} of the artwork paints nothing.`,
      'Select the page that shows the side, or export the artwork again.',
    );
  }
  if (facts.annotations > 0) {
    const what = facts.annotations === 1 ? 'one annotation' : `${facts.annotations} annotations`;
    say(
      'page-annotations',
      'warn',
      `Page ${page.number} carries ${what} (comments, stamps or form fields), which will not be printed.`,
      'If something of it belongs to the artwork, ask for a PDF in which it is part of the page.',
    );
  }
  if (facts.isRepaired) {
    say(
      'artwork-repaired',
      'warn',
      'The structure of the artwork file is damaged; it was read by searching for its parts.',
      'Compare the panels with the customer proof, or ask for a new export.',
    );
  }
  if (facts.isCutOff) {
    say(
      'page-content-cut-off',
      'warn',
      `The drawing on page ${page.number} ends before its data do, or does not match their checksum: part of it may be missing.`,
      'Compare the page with the customer proof, or ask for the file again.',
    );
  }
  if (facts.isUnbalanced) {
    say(
      'page-unbalanced',
      'warn',
      `Page ${page.number} saves and restores its graphics state unevenly, as after damage or a faulty export; the panels put this right as readers do.`,
      'Compare the page with the customer proof: what was drawn after the fault may look otherwise in other programs.',
    );
  }
  if (facts.pdfxClaim !== undefined) {
    say(
      'pdfx-claim-removed',
      'note',
      `The artwork claims to be ${facts.pdfxClaim}; the panels do not, because nothing here can validate it. What they print is the same.`,
      'Nothing to do, unless your workflow asks for the claim.',
    );
  }
  if (facts.isMediaBoxMissing) {
    say(
      'page-no-media-box',
      'warn',
      `Page ${page.number} states no size; it was taken to be Letter size.`,
      'Ask for a PDF that states its page size.',
    );
  }
  if (facts.ignoredBoxes.length > 0) {
    say(
      'page-box-outside',
      'warn',
      `Page ${page.number} has boxes outside its MediaBox, which are ignored: ${facts.ignoredBoxes.join(', ')}.`,
      'Check the place of the sides on the page.',
    );
  }
  return findings;
}
