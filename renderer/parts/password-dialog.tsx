import { useState } from 'preact/hooks';
import { Button } from './button.tsx';
import { Dialog } from './dialog.tsx';
import { TextField } from './field.tsx';

interface PasswordDialogProps {
  readonly of?: 'artwork' | 'template';
  /** Which file, and why it is asked for. */
  readonly message: string;
  onPassword(password: string): void;
  onClose(): void;
}

/** Asks for the password of an encrypted PDF. */
export function PasswordDialog({ of = 'artwork', message, onPassword, onClose }: PasswordDialogProps) {
  const [password, setPassword] = useState('');
  return (
    <Dialog title={`Password of the ${of}`} onClose={onClose}>
      <form
        class="form"
        onSubmit={(event) => {
          event.preventDefault();
          onPassword(password);
        }}
      >
        <p>{message}</p>
        <TextField
          label="Password"
          isSecret
          value={password}
          onInput={setPassword}
          onChange={setPassword}
          hint="It is used to read the file and never written down."
        />
        <div class="dialog-actions">
          <Button onClick={onClose}>Cancel</Button>
          <Button isPrimary isSubmit>
            Open
          </Button>
        </div>
      </form>
    </Dialog>
  );
}
