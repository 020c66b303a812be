import type { OutputSummary } from '../../core/contract/output-summary.ts';
import { VerificationFaults } from './verification-faults.tsx';

const WORDS = {
  verified: 'Verified: released',
  failed: 'NOT RELEASED: the verification failed',
  'not-verified': 'Not verified',
} as const;

/** What the verification of an output said: in words and by weight, not by color alone. */
export function VerificationLine({
  output: { id, verification },
}: {
  readonly output: Pick<OutputSummary, 'id' | 'verification'>;
}) {
  const { state, sentences } = verification;
  return (
    <div class={`verification ${state}`} role={state === 'failed' ? 'alert' : undefined}>
      <strong>{WORDS[state]}</strong>
      {state === 'failed' ? (
        <VerificationFaults key={sentences.join()} outputId={id} sentences={sentences} />
      ) : (
        sentences.map((sentence) => <p key={sentence}>{sentence}</p>)
      )}
    </div>
  );
}
