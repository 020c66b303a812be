/** Asks for the password of the job's artwork, once each time the program was started. */
import { useState } from 'preact/hooks';
import type { Problem } from '../../core/measure/result.ts';
import { Button } from '../parts/button.tsx';
import { PasswordDialog } from '../parts/password-dialog.tsx';
import { artworkLocked, unlockArtwork } from '../state/open-job.ts';

export function ArtworkPassword() {
  const locked = artworkLocked.value;
  const [putOff, setPutOff] = useState<Problem>();
  if (!locked) return null;
  if (putOff === locked) {
    return (
      <p class="banner" role="status">
        {locked.message}
        <Button onClick={() => setPutOff(undefined)}>Give the password</Button>
      </p>
    );
  }
  return (
    <PasswordDialog
      key={locked.code}
      message={locked.message}
      onPassword={(password) => void unlockArtwork(password)}
      onClose={() => setPutOff(locked)}
    />
  );
}
