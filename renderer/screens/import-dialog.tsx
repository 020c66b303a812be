import { useState } from 'preact/hooks';
import { Button } from '../parts/button.tsx';
import { Dialog } from '../parts/dialog.tsx';
import { TextField } from '../parts/field.tsx';
import type { ImportQuestion } from './job-import.ts';

/** An imported job matches an existing one: it replaces that job, is added under another number, or is not imported. */
export function ImportDialog({ question: { meeting, answer } }: { readonly question: ImportQuestion }) {
  const { there, arriving, freeNumber } = meeting;
  const [number, setNumber] = useState(freeNumber);
  const keepBoth = () => answer({ kind: 'keep-both', number });
  return (
    <Dialog title={`${there.number} is in the archive already`} onClose={() => answer(undefined)}>
      <form
        class="form"
        onSubmit={(event) => {
          event.preventDefault();
          if (number.trim() !== '') keepBoth();
        }}
      >
        <p>
          In the archive: {there.number}, {there.name}, {there.customer}.
        </p>
        <p>
          In the file: {arriving.number}, {arriving.name}, {arriving.customer}.
        </p>
        <TextField
          label="Number of the imported job, to keep both"
          value={number}
          onInput={setNumber}
          onChange={setNumber}
          hint="Replacing keeps the outputs of the job in the archive, but not its panel layout and settings."
        />
        <div class="dialog-actions">
          <Button onClick={() => answer(undefined)}>Do not import</Button>
          <Button onClick={() => answer({ kind: 'replace' })}>Replace the job in the archive</Button>
          <Button isPrimary isSubmit isDisabled={number.trim() === ''}>
            Keep both
          </Button>
        </div>
      </form>
    </Dialog>
  );
}
