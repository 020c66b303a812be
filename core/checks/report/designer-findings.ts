/** What the designer can correct in an artwork, and how, in words that need no knowledge of this program. */
import { type Finding, findingKey } from '../../findings/finding.ts';
import { findingsSorted, isAcknowledged, layoutFindings } from '../../findings/layout/findings.ts';
import { artworkChecks, artworkLimits, judged } from '../findings/artwork-checks.ts';
import type { JobKnown } from '../findings/job-findings.ts';
import { letteringSeamFindings } from '../findings/lettering-seam-findings.ts';

/** First words of a request that needs no action. */
export const NOTHING_TO_DO = 'Nothing to do';

const OFF_THE_SEAM = 'Move this lettering clear of the seam, or tell us that the seam may cut it.';
const WHOLE_SIDE = 'Send artwork that covers the whole side and its bleed.';
const EXPORT_AGAIN = 'Export the PDF again, and check that it opens without a message.';
const ONE_CONDITION = 'Export with one output intent, that of the CMYK you worked in.';
const WIDER = 'Draw these lines wider, or tell us that they may vanish.';

/** Requests to the designer by finding code. Findings without one concern only the shop. */
const REQUESTS: Readonly<Record<string, string>> = {
  'artwork-missing-under-bleed': WHOLE_SIDE,
  'artwork-missing-under-overlap': WHOLE_SIDE,
  'artwork-repaired': EXPORT_AGAIN,
  'bleed-short': 'Extend the artwork past these edges, out to the bleed.',
  'color-registration':
    'Paint these objects in black: the registration color is for marks beside the artwork.',
  'color-rgb': 'Convert these objects to CMYK, or give them an RGB profile.',
  'color-rgb-icc': `${NOTHING_TO_DO}: bright colors come out duller than on a screen.`,
  'edge-bare': 'Tell us whether bare film is meant there; else extend the artwork to the edge and its bleed.',
  'font-missing': 'Embed all fonts, or turn the lettering to outlines.',
  'guide-left-on': 'Delete the layers “Panel guide” and export again.',
  'image-coarse': 'Place this picture with more pixels, or tell us that they may be seen.',
  'image-soft': `${NOTHING_TO_DO}, unless people come closer than that.`,
  'ink-heavy': 'Lighten the darkest colors until they keep to the limit of the film.',
  'layer-off': 'Check that these layers hold only what is not to be printed.',
  'layer-print-state': 'Export without layers, or let the same layers show and print.',
  'lettering-small': 'Make this lettering larger if it is to be read from there.',
  'lettering-too-large-to-view': 'Turn this lettering to outlines.',
  'output-intent-not-inks': ONE_CONDITION,
  'output-intents-disagree': ONE_CONDITION,
  'output-intents-several': ONE_CONDITION,
  'overprint-white': 'Switch overprint of white off.',
  'page-annotations': 'If something of it belongs to the artwork, make it part of the page.',
  'page-blank': 'Draw the side on this page, or send the page that shows it.',
  'page-box-two': 'Tell us which of the two is the finished size, and export with that one alone.',
  'page-content-cut-off': EXPORT_AGAIN,
  'page-missing': 'Send all pages of the artwork.',
  'page-no-media-box': 'Export a PDF that states its page size.',
  'page-not-checked': EXPORT_AGAIN,
  'page-parts-unreadable': EXPORT_AGAIN,
  'page-resources-missing': EXPORT_AGAIN,
  'page-unbalanced': EXPORT_AGAIN,
  'seam-along-upright-stroke': 'Move this lettering so that the seam runs between words.',
  'seam-through-large-lettering': OFF_THE_SEAM,
  'seam-through-legal-marking': OFF_THE_SEAM,
  'seam-through-lettering': OFF_THE_SEAM,
  'seam-through-likely-lettering': 'If this is lettering, move it clear of the seam.',
  'seam-through-phone-number': OFF_THE_SEAM,
  'seam-through-web-address': OFF_THE_SEAM,
  'side-beyond-page': WHOLE_SIDE,
  'side-not-filled': 'Tell us whether so much film is meant to stay bare.',
  'side-proportion': 'Draw this side to the measured size of the vehicle.',
  'spot-alike': 'Use one name for this ink throughout.',
  'spot-like-process': 'Use the process ink in place of this spot ink.',
  'spot-two-colors': 'Define this ink in one way throughout.',
  'stroke-hairline': WIDER,
  'stroke-huge': 'Check that these lines are meant to be seen.',
  'stroke-zero': WIDER,
  'transfer-function': 'Export without transfer functions.',
  'transparency-no-space': 'Give the page a blending color space: the CMYK that you work in.',
  'white-plate-missing': 'Draw the white that goes under the colors in a spot ink of its own.',
};

/** Most serious first. Warnings that the shop has acknowledged are left out. */
export function designerFindings({ job, layouts, artwork }: JobKnown): Finding[] {
  if (!artwork?.scan) return [];
  const usedPages = new Set(job.sides.map(({ page }) => page));
  const facts = { pages: artwork.pages, artworkSha256: artwork.sha256 };
  const found = [
    ...layoutFindings(job, layouts, facts),
    ...artwork.remarks.filter(({ where }) => usedPages.has(where.page)),
    ...artworkChecks(job, layouts, artwork.scan),
    ...letteringSeamFindings(job, layouts, artwork.scan).flatMap((each) => judged(each, artworkLimits(job))),
  ];
  const asked = found.flatMap((each): Finding[] => {
    const remedy = Object.hasOwn(REQUESTS, each.code) ? REQUESTS[each.code] : undefined;
    return remedy === undefined || isAcknowledged(job, each) ? [] : [{ ...each, remedy }];
  });
  const once = new Map(asked.map((each) => [`${findingKey(each)} ${each.message}`, each]));
  return findingsSorted([...once.values()]);
}
