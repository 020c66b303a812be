/** The keys of every command, and the comforts: light or dark, size of the interface. */

import { present } from '../../core/measure/present.ts';
import { allCommands, COMMAND_GROUPS, keysShown } from '../commands/command.ts';
import { Button } from '../parts/button.tsx';
import { Dialog } from '../parts/dialog.tsx';
import { isKeysSheetOpen } from '../state/dialogs.ts';
import { changeSettings, type Settings, settings } from '../state/settings.ts';

const THEMES: readonly Settings['theme'][] = ['system', 'light', 'dark'];
const ZOOM_STEP = 10;

export function KeysSheet() {
  const close = () => {
    isKeysSheetOpen.value = false;
  };
  const { theme, zoomPercent } = settings.value;
  return (
    <Dialog title="Shortcuts" onClose={close}>
      <div class="comfort">
        <fieldset>
          <legend>Theme</legend>
          {THEMES.map((name) => (
            <Button key={name} isPressed={theme === name} onClick={() => changeSettings({ theme: name })}>
              {name === 'system' ? 'As the system' : name === 'light' ? 'Light' : 'Dark'}
            </Button>
          ))}
        </fieldset>
        <fieldset>
          <legend>Size of everything</legend>
          <Button
            isDisabled={zoomPercent <= 70}
            onClick={() => changeSettings({ zoomPercent: zoomPercent - ZOOM_STEP })}
          >
            Smaller
          </Button>
          <output>{zoomPercent} %</output>
          <Button
            isDisabled={zoomPercent >= 200}
            onClick={() => changeSettings({ zoomPercent: zoomPercent + ZOOM_STEP })}
          >
            Larger
          </Button>
        </fieldset>
      </div>
      {COMMAND_GROUPS.map((group) => {
        const inGroup = allCommands().filter((command) => command.group === group && command.keys);
        if (inGroup.length === 0) return null;
        return (
          <section key={group}>
            <h3>{group}</h3>
            <table class="table">
              <tbody>
                {inGroup.map(({ id, label, keys }) => (
                  <tr key={id}>
                    <td>{label}</td>
                    <td class="number">
                      {present(keys, 'The keys of a command').map(keysShown).join('  or  ')}
                    </td>
                  </tr>
                ))}
              </tbody>
            </table>
          </section>
        );
      })}
      <div class="dialog-actions">
        <Button isPrimary onClick={close}>
          Close
        </Button>
      </div>
    </Dialog>
  );
}
