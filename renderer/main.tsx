import '@fontsource/noto-sans/latin-400.css';
import '@fontsource/noto-sans/latin-600.css';
import '@fontsource/noto-sans/latin-ext-400.css';
import '@fontsource/noto-sans/latin-ext-600.css';
import './styles/base.css';
import './styles/parts.css';
import './styles/screens.css';
import './styles/bench.css';
import './styles/plans.css';
import './styles/production.css';
import { render } from 'preact';
import { App } from './app.tsx';
import { onMenuCommand } from './client/client.ts';
import { commandKeysFollowed } from './commands/command.ts';
import { commandById, commands } from './commands/commands.ts';
import { artworkFollowed, autosaveStarted } from './state/open-job.ts';
import { placeFollowed } from './state/place.ts';
import { settingsApplied } from './state/settings.ts';

settingsApplied();
placeFollowed();
autosaveStarted();
artworkFollowed();
commandKeysFollowed(() => commands);
onMenuCommand((id) => {
  const command = commandById(id);
  if (command?.isEnabled()) void command.run();
});
render(<App />, document.getElementById('app')!);
