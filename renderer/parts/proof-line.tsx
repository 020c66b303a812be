import type { RunSummary } from '../../core/contract.ts';

const WORDS = {
  proved: 'Proved: released',
  failed: 'NOT RELEASED: the proof failed',
  'not-proved': 'Not proved',
} as const;

/** What the proof of a run said: in words and by weight, not by colour alone. */
export function ProofLine({ proof: { state, sentences } }: Pick<RunSummary, 'proof'>) {
  return (
    <div class={`proof ${state}`} role={state === 'failed' ? 'alert' : undefined}>
      <strong>{WORDS[state]}</strong>
      {sentences.map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
    </div>
  );
}
