import type { RunSummary } from '../../core/contract/contract.ts';
import { ProofFaults } from './proof-faults.tsx';

const WORDS = {
  proved: 'Proved: released',
  failed: 'NOT RELEASED: the proof failed',
  'not-proved': 'Not proved',
} as const;

/** What the proof of a run said: in words and by weight, not by colour alone. */
export function ProofLine({ run: { id, proof } }: { readonly run: Pick<RunSummary, 'id' | 'proof'> }) {
  const { state, sentences } = proof;
  return (
    <div class={`proof ${state}`} role={state === 'failed' ? 'alert' : undefined}>
      <strong>{WORDS[state]}</strong>
      {state === 'failed' ? (
        <ProofFaults key={sentences.join()} runId={id} sentences={sentences} />
      ) : (
        sentences.map((sentence) => <p key={sentence}>{sentence}</p>)
      )}
    </div>
  );
}
