import { Button } from '../parts/button.tsx';
import { Dialog } from '../parts/dialog.tsx';
import { closeHelp, showKeysSheet } from '../state/dialogs.ts';
import { addressFromRoute, route } from '../state/route.ts';
import { Keys } from './keys.tsx';
import { SCREEN_HELP } from './screen-help.ts';

/** What the current screen is for, in half a page. */
export function HelpDialog() {
  const { title, purpose, acts, next } = SCREEN_HELP[route.value.screen];
  return (
    <Dialog title={`Help: ${title}`} onClose={closeHelp}>
      <div class="help">
        <p>{purpose}</p>
        <ol>
          {acts.map(({ text, commands = [] }) => (
            <li key={text}>
              {text}
              <Keys of={commands} />
            </li>
          ))}
        </ol>
        <p>
          <strong>Next:</strong> {next}
        </p>
        <nav class="link-row" aria-label="More help">
          {LINKS.map(({ screen, label }) => (
            <a key={screen} href={addressFromRoute({ screen })} onClick={closeHelp}>
              {label}
            </a>
          ))}
        </nav>
      </div>
      <div class="dialog-actions">
        <Button
          onClick={() => {
            closeHelp();
            showKeysSheet();
          }}
        >
          Shortcuts
        </Button>
        <Button isPrimary onClick={closeHelp}>
          Close
        </Button>
      </div>
    </Dialog>
  );
}

const LINKS = [
  { screen: 'first-steps', label: 'First steps' },
  { screen: 'glossary', label: 'Glossary' },
  { screen: 'about', label: 'Version, what is new, licenses' },
] as const;
