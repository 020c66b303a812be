/**
 * The rules of PDF/X-4 (ISO 15930-7) that are checked here, of a file or of a panel. The list is from memory of
 * the standard and not all of it: a file that breaks none may be claimed no more than "checked as far as this goes".
 *
 * A panel keeps the claim of its artwork only if the page that it is cut from breaks none and the panel, read back by the
 * verification, breaks none either: cutting adds objects, and a claim that nobody checked is worse than none.
 */
import type { PageClaimScan } from './scan/page-scan.ts';
import type { ArtworkScan } from './scan/schema.ts';

export const PDFX4_CLAIM = 'PDF/X-4';

/** What decides, gathered from an artwork or from a panel just written. */
export interface Pdfx4Facts {
  /** GTS_PDFXVersion in the XMP. */
  readonly xmpClaim: string | undefined;
  readonly isEncrypted: boolean;
  readonly hasActions: boolean;
  /** Output intents of the catalog: the kind of each. */
  readonly outputIntents: readonly {
    readonly kind: string;
    readonly profileComponents?: number | undefined;
  }[];
  readonly pages: readonly Pdfx4Page[];
}

export interface Pdfx4Page {
  readonly number: number;
  readonly statedBoxes: readonly string[];
  /** Boxes that reach out of the one around them. */
  readonly unnestedBoxes: readonly string[];
  readonly fontsMissing: readonly string[];
  readonly hasActions: boolean;
}

export interface Pdfx4Breach {
  readonly rule:
    | 'claim'
    | 'encryption'
    | 'actions'
    | 'output-intent'
    | 'finished-box'
    | 'box-nesting'
    | 'fonts';
  /** Absent where the whole file is meant. */
  readonly page?: number;
  /** Half a sentence: `it is encrypted`. */
  readonly text: string;
}

export function pdfx4Check(facts: Pdfx4Facts): Pdfx4Breach[] {
  const breaches: Pdfx4Breach[] = [];
  // PDF/X-4p, with the profile kept elsewhere, is a claim of its own.
  if (facts.xmpClaim !== PDFX4_CLAIM) {
    breaches.push({ rule: 'claim', text: 'its XMP does not state the version PDF/X-4' });
  }
  if (facts.isEncrypted) breaches.push({ rule: 'encryption', text: 'it is encrypted' });
  if (facts.hasActions) breaches.push({ rule: 'actions', text: 'it holds actions' });
  const intents = facts.outputIntents.filter(({ kind }) => kind === 'GTS_PDFX');
  if (intents.length !== 1) {
    const text =
      intents.length === 0
        ? 'it has no output intent for PDF/X'
        : `it has ${intents.length} output intents for PDF/X`;
    breaches.push({ rule: 'output-intent', text });
  } else if (intents[0]!.profileComponents === undefined) {
    breaches.push({ rule: 'output-intent', text: 'its output intent for PDF/X embeds no profile' });
  }
  return [...breaches, ...facts.pages.flatMap(pageBreaches)];
}

function pageBreaches(page: Pdfx4Page): Pdfx4Breach[] {
  const { number, statedBoxes, unnestedBoxes, fontsMissing, hasActions } = page;
  const breaches: Pdfx4Breach[] = [];
  const say = (rule: Pdfx4Breach['rule'], text: string) => breaches.push({ rule, page: number, text });
  const finished = ['trim', 'art'].filter((box) => statedBoxes.includes(box));
  if (finished.length === 0) say('finished-box', `page ${number} states neither TrimBox nor ArtBox`);
  if (finished.length === 2) say('finished-box', `page ${number} states both TrimBox and ArtBox`);
  if (unnestedBoxes.length > 0) {
    say('box-nesting', `page ${number} has boxes that reach out of the box around them`);
  }
  if (fontsMissing.length > 0) {
    say('fonts', `page ${number} uses fonts that are not embedded: ${fontsMissing.join(', ')}`);
  }
  if (hasActions) say('actions', `page ${number} holds actions`);
  return breaches;
}

/** The facts of an artwork as it was looked through. */
export function pdfx4Facts({
  document,
  pages,
}: {
  readonly document: ArtworkScan['document'];
  readonly pages: readonly PageClaimScan[];
}): Pdfx4Facts {
  return {
    xmpClaim: document.xmpClaim,
    isEncrypted: document.isEncrypted,
    hasActions: document.hasActions,
    outputIntents: document.outputIntents,
    pages: pages.map(pdfx4Page),
  };
}

const pdfx4Page = ({ number, statedBoxes, unnestedBoxes, fonts, hasActions }: PageClaimScan): Pdfx4Page => ({
  number,
  statedBoxes,
  unnestedBoxes,
  fontsMissing: fonts.filter(({ kind }) => kind === 'missing').map(({ name }) => name),
  hasActions,
});
