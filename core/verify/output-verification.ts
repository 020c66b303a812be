/** The result of a verification for an output: whether it is released for production, and why, in sentences. */
import { z } from 'zod';
import { toneText } from './verification-fault.ts';
import type { PictureComparison, VerificationReport } from './verification-report.ts';

/** Only a verified output is released. A failed one must not be printed; one that was not verified was not checked. */
export const OutputVerification = z.strictObject({
  state: z.enum(['not-verified', 'verified', 'failed']),
  sentences: z.array(z.string()),
});
export type OutputVerification = z.infer<typeof OutputVerification>;

export function outputVerificationFromReport(report: VerificationReport): OutputVerification {
  const { state, faults, notes } = report;
  const told = [...faults, ...notes].map(({ message, remedy }) => `${message} ${remedy}`);
  return { state, sentences: state === 'verified' ? [verifiedSentence(report), ...told] : told };
}

function verifiedSentence({ sides, renderer, notes }: VerificationReport): string {
  const panels = sides.flatMap((side) => side.panels);
  const bands = sides.flatMap((side) => side.bands);
  const pictures = panels.flatMap(({ picture }) => picture ?? []);
  const count = panels.length === 1 ? 'The panel looks' : `All ${panels.length} panels look`;
  const agreed =
    bands.length === 0
      ? ''
      : ` ${bands.length === 1 ? 'The overlap of neighbors agrees' : `All ${bands.length} overlaps of neighbors agree`}.`;
  // A note names the renderer that shows a difference.
  const drawn = notes.length === 0 ? ` when drawn by ${renderer}` : '';
  return `${count} like the artwork${drawn}: ${differencesText(pictures)}.${agreed}`;
}

function differencesText(pictures: readonly PictureComparison[]): string {
  const largest = Math.max(0, ...pictures.map((picture) => picture.largest));
  if (largest === 0) return 'no pixel differs';
  const mean = Math.max(...pictures.map((picture) => picture.mean));
  return `pixels at edges differ by at most ${toneText(largest)} of full tone, ${toneText(mean)} on average in the worst panel`;
}
