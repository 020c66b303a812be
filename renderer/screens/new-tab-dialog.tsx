/** In a browser: lets one more tab in. */
import { useEffect, useState } from 'preact/hooks';
import { newTabAddress } from '../client/client.ts';
import { Button } from '../parts/button.tsx';
import { Dialog } from '../parts/dialog.tsx';
import { closeNewTab } from '../state/dialogs.ts';
import { showProblem } from '../state/notices.ts';

export function NewTabDialog() {
  const [address, setAddress] = useState<string>();
  useEffect(() => {
    void newTabAddress().then((made) => {
      if (made.ok) return setAddress(made.value);
      showProblem(made.problem);
      closeNewTab();
    });
  }, []);
  return (
    <Dialog title="New tab" onClose={closeNewTab}>
      <p>This link works once, in a tab of this browser or another one on this machine.</p>
      <p>
        {address !== undefined && (
          <a
            ref={(link) => link?.focus()}
            href={address}
            target="_blank"
            rel="noopener noreferrer"
            onClick={closeNewTab}
          >
            Open another tab
          </a>
        )}
      </p>
      <div class="dialog-actions">
        <Button onClick={closeNewTab}>Cancel</Button>
      </div>
    </Dialog>
  );
}
