/** Whether the customer has signed for the artwork that would be printed. */
import { fingerprintText } from '../../job/fingerprint.ts';
import type { Job } from '../../job/schema.ts';
import { dateText } from '../../shop/date-text.ts';
import { type Finding, finding } from '../finding.ts';

/** Warns where the shop requires a signature; otherwise notes a signature for other artwork. Keeps CPF4. */
export function approvalFindings({ artwork, approval, sheets, dateOrder }: Job): Finding[] {
  if (!artwork) return [];
  const isNeeded = sheets?.proof?.isSignatureNeeded === true;
  // Skipping the signature for one artwork does not skip it for the next.
  const where = { itemId: artwork.sha256.slice(0, 16) };
  if (!approval) {
    if (!isNeeded) return [];
    return [
      finding(
        'proof-not-signed',
        'warn',
        where,
        'Nobody has signed a customer proof of this artwork.',
        'Print the customer proof, have it signed, and enter on the Sheets screen who signed it and when.',
      ),
    ];
  }
  if (approval.artworkSha256 === artwork.sha256) return [];
  return [
    finding(
      'proof-of-other-artwork',
      isNeeded ? 'warn' : 'note',
      where,
      `What ${approval.by} signed on ${dateText(approval.on, dateOrder)} was other artwork (fingerprint ${fingerprintText(approval.artworkSha256)}) than the job has now (${fingerprintText(artwork.sha256)}).`,
      'Have a customer proof of the present artwork signed, and enter that on the Sheets screen.',
    ),
  ];
}
