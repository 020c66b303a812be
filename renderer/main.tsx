import '@fontsource/noto-sans/latin-400.css';
import '@fontsource/noto-sans/latin-600.css';
import '@fontsource/noto-sans/latin-ext-400.css';
import '@fontsource/noto-sans/latin-ext-600.css';
import './styles/base.css';
import './styles/parts.css';
import './styles/screens.css';
import './styles/bench.css';
import './styles/bench-canvas.css';
import './styles/bench-drawing.css';
import './styles/bench-dock.css';
import './styles/inspector.css';
import './styles/plans.css';
import './styles/production.css';
import './styles/shared-rolls.css';
import { render } from 'preact';
import { App } from './app.tsx';
import { enter, startHearing } from './client/client.ts';
import { startCommands } from './commands/command.ts';
import { followQuietLines } from './layouts/plan-state.ts';
import { followSharedRolls } from './production/shared-roll-state.ts';
import { obeyMain } from './screens/main-messages.ts';
import { PROGRAM_COMMANDS } from './screens/program-commands.ts';
import { RefusedScreen } from './screens/refused-screen.tsx';
import { followArtwork, startAutosave, tellUnsaved } from './state/open-job.ts';
import { followProduction } from './state/production.ts';
import { followAddress } from './state/route.ts';
import { applySettings } from './state/settings.ts';
import { readShopItems } from './state/shop.ts';

applySettings();
const app = document.getElementById('app')!;
const refused = await enter();
if (refused) {
  render(<RefusedScreen problem={refused} />, app);
} else {
  followAddress();
  startAutosave();
  tellUnsaved();
  followArtwork();
  followProduction();
  followSharedRolls();
  void readShopItems();
  followQuietLines();
  startCommands(PROGRAM_COMMANDS);
  render(<App />, app);
  startHearing(obeyMain);
}
