import { Button } from '../parts/button.tsx';
import { Dialog } from '../parts/dialog.tsx';
import { addressFromRoute } from '../state/route.ts';
import { changeSettings, settings } from '../state/settings.ts';
import { ALL_CHANGES, PROGRAM_VERSION } from './changes.ts';

/** Called once at the start: at the first start of all, nothing is new. */
export function rememberFirstVersion(): void {
  if (settings.value.seenVersion === '') changeSettings({ seenVersion: PROGRAM_VERSION });
}

/** Shown once after an update from an earlier version. */
export function WhatIsNew() {
  const { seenVersion } = settings.value;
  if (seenVersion === '' || seenVersion === PROGRAM_VERSION) return null;
  const close = () => changeSettings({ seenVersion: PROGRAM_VERSION });
  return (
    <Dialog title={`What is new in ${PROGRAM_VERSION}`} onClose={close}>
      <div class="help reading">
        <ChangesOf version={PROGRAM_VERSION} />
        <p>
          <a href={addressFromRoute({ screen: 'about' })} onClick={close}>
            All versions and licenses
          </a>
        </p>
      </div>
      <div class="dialog-actions">
        <Button isPrimary onClick={close}>
          Close
        </Button>
      </div>
    </Dialog>
  );
}

export function ChangesOf({ version }: { readonly version: string }) {
  const changes = ALL_CHANGES.find((each) => each.version === version)?.changes ?? [];
  return (
    <ul>
      {changes.map((change) => (
        <li key={change}>{change}</li>
      ))}
    </ul>
  );
}
