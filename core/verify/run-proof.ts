/** What a proof comes to for a run of output: whether it is released for production, and why in sentences. */
import { z } from 'zod';
import type { PictureComparison, ProofReport } from './proof-report.ts';

/** Only a proved run is released; one that failed must not be printed, one that was not proved was not looked at. */
export const RunProof = z.strictObject({
  state: z.enum(['not-proved', 'proved', 'failed']),
  sentences: z.array(z.string()),
});
export type RunProof = z.infer<typeof RunProof>;

export const NOT_PROVED: RunProof = { state: 'not-proved', sentences: [] };

export function runProofFromReport(report: ProofReport): RunProof {
  if (report.state === 'proved') return { state: 'proved', sentences: [provedSentence(report)] };
  return {
    state: 'failed',
    sentences: report.faults.map(({ message, remedy }) => `${message} ${remedy}`),
  };
}

function provedSentence({ sides, renderer }: ProofReport): string {
  const panels = sides.flatMap((side) => side.panels);
  const bands = sides.flatMap((side) => side.bands);
  const pictures = panels.flatMap(({ picture }) => picture ?? []);
  const count = panels.length === 1 ? 'The panel looks' : `All ${panels.length} panels look`;
  const agreed =
    bands.length === 0
      ? ''
      : ` ${bands.length === 1 ? 'The overlap of neighbours agrees' : `All ${bands.length} overlaps of neighbours agree`}.`;
  return `${count} like the artwork when drawn by ${renderer}: ${differencesText(pictures)}.${agreed}`;
}

function differencesText(pictures: readonly PictureComparison[]): string {
  const largest = Math.max(0, ...pictures.map((picture) => picture.largest));
  if (largest === 0) return 'no pixel differs';
  const mean = Math.max(...pictures.map((picture) => picture.mean));
  return `at most ${largest} of 255 levels at an edge, ${mean.toFixed(2)} on average in the worst panel`;
}
