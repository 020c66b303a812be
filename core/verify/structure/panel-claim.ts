/** A panel that claims PDF/X-4 is held to it, read back from its file. */

import { pdfx4PageBreaches } from '../../checks/pdfx4-page.ts';
import { listText } from '../../measure/list-text.ts';
import type { ManifestPanel } from '../../output/manifest.ts';
import { verificationFault } from '../verification-fault.ts';
import type { VerificationFault } from '../verification-report.ts';
import type { PanelDocument } from './panel-document.ts';

/** @throws PdfProblem where the file turns out to be damaged */
export async function claimFaults(
  { label, sideCode }: ManifestPanel,
  { pdf }: PanelDocument,
): Promise<VerificationFault[]> {
  const breaches = (await pdfx4PageBreaches(pdf, 1)) ?? [];
  if (breaches.length === 0) return [];
  const text = `${label} claims to be PDF/X-4 but breaks its rules: ${listText(breaches)}.`;
  return [verificationFault('claim-broken', { panels: [label], sideCode }, text)];
}
