/** Asks for the password of a template, when it is taken in and once each time the program was started. */
import { PasswordDialog } from '../parts/password-dialog.tsx';
import { templateLocked } from './trace.ts';

export function TemplatePassword() {
  const locked = templateLocked.value;
  if (!locked) return null;
  return (
    <PasswordDialog
      of="template"
      message={locked.message}
      onPassword={(password) => void locked.open(password)}
      onClose={() => {
        templateLocked.value = undefined;
      }}
    />
  );
}
