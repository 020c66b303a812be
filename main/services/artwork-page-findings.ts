/** What the pages of the artwork themselves say to the operator: comments, layers, damage, claims. */
import type { Side } from '../../core/job/schema.ts';
import type { Finding } from '../../core/layout/finding.ts';
import type { ArtworkPage } from '../../core/pdf/artwork.ts';
import type { OpenedArtwork } from './artwork-file.ts';

/** `job` names the pages that count: those that carry a side. */
export function artworkPageFindings(
  job: { readonly sides: readonly Pick<Side, 'page'>[] },
  artwork: OpenedArtwork,
): Finding[] {
  const used = new Set(job.sides.map((side) => side.page));
  return [
    ...[...artwork.pageProblems]
      .filter(([page]) => used.has(page))
      .map(
        ([page, problem]): Finding => ({
          code: problem.code,
          severity: 'stop',
          where: { page },
          message: problem.message,
          remedy: problem.remedy,
        }),
      ),
    ...artwork.pages.filter((page) => used.has(page.number)).flatMap(pageFindings),
  ];
}

function pageFindings(page: ArtworkPage): Finding[] {
  const findings: Finding[] = [];
  const say = (code: string, severity: Finding['severity'], message: string, remedy: string) =>
    findings.push({ code, severity, where: { page: page.number }, message, remedy });
  const { facts } = page;
  if (facts.isBlank) {
    say(
      'page-blank',
      'stop',
      `Page ${page.number} of the artwork paints nothing.`,
      'Choose the page that shows the side, or export the artwork again.',
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
  if (facts.hasLayers) {
    say(
      'page-layers',
      'note',
      `The artwork has layers; each prints or not as it is set in the file, as page ${page.number} is shown.`,
      'Look at the page once and check that nothing is missing and no template shows.',
    );
  }
  if (facts.isRepaired) {
    say(
      'artwork-repaired',
      'warn',
      'The structure of the artwork file is damaged; it was read by searching for its parts.',
      'Compare the panels with the proof, or ask for a new export.',
    );
  }
  if (facts.isUnbalanced) {
    say(
      'page-unbalanced',
      'note',
      `Page ${page.number} saves and restores its graphics state unevenly; the panels put this right.`,
      'Nothing to do.',
    );
  }
  if (facts.pdfxClaim !== undefined) {
    say(
      'pdfx-claim-removed',
      'note',
      `The artwork claims to be ${facts.pdfxClaim}; the panels do not claim it, because they are not checked against it.`,
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
