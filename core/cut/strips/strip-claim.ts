/** Whether a strip may claim PDF/X-4 as its panels do (ISO 15930-7, from memory of the standard). */
import { listText } from '../../measure/list-text.ts';
import type { PagePlan } from '../panel-geometry.ts';
import { isProfileForInks, type PdfxClaim, pdfxProfileComponents } from '../pdfx-claim.ts';
import type { StripPage } from './strip-page.ts';
import type { StripPanel } from './strip-panel.ts';

/**
 * The claim of a strip whose artwork claims PDF/X-4: what is true of every panel is true of their forms, and a page of
 * its own, the lines to cut along and the reasons `against` it are asked for here.
 */
export async function stripClaim(
  page: StripPage,
  plan: PagePlan,
  panels: readonly StripPanel[],
  against: readonly string[],
): Promise<PdfxClaim> {
  const without = panels.filter(({ pdfxBreaches }) => pdfxBreaches === undefined);
  const profile = panels[0] && (await pdfxProfileComponents(panels[0].pdf.file));
  const reasons = [
    ...(without.length > 0
      ? [
          `${listText(without.map(({ label }) => label))} ${without.length === 1 ? 'does' : 'do'} not claim it`,
        ]
      : []),
    ...panels.flatMap(({ label, pdfxBreaches = [] }) =>
      pdfxBreaches.map((breach) => `of ${label}, ${breach}`),
    ),
    ...(plan.userUnit === 1 ? [] : ['the page is measured in larger units (UserUnit)']),
    ...(page.cutMarks.length > 0 && !isProfileForInks(profile)
      ? ['the lines to cut along are in black ink, but the output intent is for other colors']
      : []),
    ...against,
  ];
  if (reasons.length === 0) return { isKept: true, note: 'The strip keeps the PDF/X-4 claim of its panels.' };
  return {
    isKept: false,
    note: `The strip does not keep the artwork's claim to be PDF/X-4: ${reasons.join('; ')}.`,
  };
}
