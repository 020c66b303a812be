/** What the customer proof shows, and who signed it: entered here, kept with the job. */
import { useRef, useState } from 'preact/hooks';
import { approvalSet } from '../../core/job/edits/edits.ts';
import { fingerprintText } from '../../core/job/fingerprint.ts';
import type { Job, SheetSettings } from '../../core/job/schema.ts';
import { dateText } from '../../core/shop/date-text.ts';
import { Button } from '../parts/button.tsx';
import { Field, TextField } from '../parts/field.tsx';
import { editJob, isReadOnly } from '../state/open-job.ts';

type ProofSettings = NonNullable<SheetSettings['proof']>;

interface ProofChoiceProps {
  readonly proof: ProofSettings | undefined;
  onChange(proof: ProofSettings): void;
}

/** Of a job, or of the shop for new jobs. */
export function ProofChoice({ proof = {}, onChange }: ProofChoiceProps) {
  const box = (key: keyof ProofSettings, label: string) => (
    <label class="check">
      <input
        type="checkbox"
        checked={proof[key] === true}
        onChange={(event) => onChange({ ...proof, [key]: event.currentTarget.checked })}
      />
      {label}
    </label>
  );
  return (
    <>
      {box('seams', 'Seams on the customer proof')}
      {box('isSignatureNeeded', 'Warn before output while no customer proof of the artwork is signed')}
    </>
  );
}

export function ProofSigning({ job }: { readonly job: Job }) {
  const { approval, artwork } = job;
  if (!artwork) return <p class="quiet">There is no artwork yet, so there is nothing to sign for.</p>;
  if (!approval) return <SigningForm sha256={artwork.sha256} />;
  const isOfNow = approval.artworkSha256 === artwork.sha256;
  return (
    <div class="proof-signed">
      <p role="status">
        Signed by {approval.by} on {dateText(approval.on, job.dateOrder)}, fingerprint{' '}
        {fingerprintText(approval.artworkSha256)}.{approval.note !== '' && ` ${approval.note}.`}
        {!isOfNow &&
          ` The artwork has changed since: it has fingerprint ${fingerprintText(artwork.sha256)} now.`}
      </p>
      <Button
        isDisabled={isReadOnly.value}
        onClick={() => void editJob('Remove the signature', (now) => approvalSet(now, { approval: null }))}
      >
        Remove the signature
      </Button>
      {!isOfNow && <SigningForm sha256={artwork.sha256} />}
    </div>
  );
}

function SigningForm({ sha256 }: { readonly sha256: string }) {
  const [given, setGiven] = useState({ by: '', on: '', note: '' });
  const [isAsked, setAsked] = useState(false);
  const form = useRef<HTMLFormElement>(null);
  const by = given.by.trim();
  const enter = () => {
    setAsked(true);
    if (by === '' || given.on === '') {
      form.current?.querySelectorAll('input')[by === '' ? 0 : 1]?.focus();
      return;
    }
    const approval = { by, on: given.on, artworkSha256: sha256, note: given.note.trim() };
    editJob('Enter the signature', (now) => approvalSet(now, { approval }));
  };
  return (
    <form
      ref={form}
      class="proof-signing"
      aria-label="Signature of the customer"
      onSubmit={(event) => {
        event.preventDefault();
        enter();
      }}
    >
      <TextField
        label="Signed by"
        value={given.by}
        onInput={(text) => setGiven({ ...given, by: text })}
        onChange={(text) => setGiven({ ...given, by: text })}
        problem={isAsked && by === '' ? 'Enter who signed.' : undefined}
      />
      <Field
        label="Signed on"
        problem={isAsked && given.on === '' ? 'Enter the day on which it was signed.' : undefined}
      >
        {(ids) => (
          <input
            class="input"
            type="date"
            value={given.on}
            onInput={(event) => setGiven({ ...given, on: event.currentTarget.value })}
            {...ids}
          />
        )}
      </Field>
      <TextField
        label="Note"
        value={given.note}
        onInput={(text) => setGiven({ ...given, note: text })}
        onChange={(text) => setGiven({ ...given, note: text })}
      />
      <Button isSubmit isDisabled={isReadOnly.value}>
        Enter the signature
      </Button>
    </form>
  );
}
