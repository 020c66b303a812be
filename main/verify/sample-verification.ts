/** Compares the samples of all pictures of a side; each picture of the artwork is read once for all panels. */
import type { PDFStream } from 'pdf-lib';
import { itemAt, present, valueAt } from '../../core/measure/present.ts';
import type { ManifestPanel } from '../../core/output/manifest.ts';
import type { PdfFile } from '../../core/pdf/file/pdf-file.ts';
import { type ClaimOfPanel, samplesCompared } from '../../core/verify/structure/samples-comparison.ts';
import type { VerificationFault } from '../../core/verify/verification-report.ts';
import { decodeJpeg2000 } from '../cut/jpeg2000.ts';
import { unpackedInPassing } from '../files/unpacked.ts';
import { faultOf, type ReadPanel } from './panel-reading.ts';

export interface ReadSamples {
  readonly faults: readonly VerificationFault[];
  /** Whether the samples of some picture could not be compared. */
  readonly isUnknown: boolean;
}

const areEqual = (a: Uint8Array, b: Uint8Array): boolean => Buffer.compare(a, b) === 0;

interface Claim extends ClaimOfPanel {
  readonly of: ManifestPanel;
}

export async function verifySamples(
  panels: readonly ReadPanel[],
  artwork: PdfFile,
  pause: () => Promise<void> | void,
): Promise<ReadonlyMap<ManifestPanel, ReadSamples>> {
  const bySource = new Map<PDFStream, Claim[]>();
  for (const { panel, opened } of panels) {
    for (const claim of opened?.samples ?? []) {
      const claims = bySource.get(claim.source) ?? [];
      bySource.set(claim.source, claims);
      // A picture that is placed a hundred times is compared once.
      const { x, y } = claim.window;
      const isKnown = claims.some(
        (other) =>
          other.of === panel && other.panel === claim.panel && other.window.x === x && other.window.y === y,
      );
      if (isKnown) continue;
      claims.push({ ...claim, file: present(opened, 'The file of a panel').file, of: panel });
    }
  }
  const found = new Map<ManifestPanel, { faults: VerificationFault[]; isUnknown: boolean }>();
  for (const { panel } of panels) found.set(panel, { faults: [], isUnknown: false });
  for (const claims of bySource.values()) {
    const verdicts = await samplesCompared(artwork, claims, {
      codecs: { inflate: unpackedInPassing, decodeJpeg2000 },
      areEqual,
      pause,
    });
    for (const [index, verdict] of verdicts.entries()) {
      const { of, part } = itemAt(claims, index);
      const panel = valueAt(found, of);
      if (verdict.kind === 'unknown') panel.isUnknown = true;
      if (verdict.kind !== 'different') continue;
      const what = part === 'image' ? 'A picture' : 'The mask of a picture';
      const text = `${what} on ${of.label} does not have the samples of the artwork, first in column ${verdict.x + 1} of row ${verdict.y + 1}.`;
      panel.faults.push(faultOf(of, 'samples-changed', text));
    }
  }
  return found;
}
