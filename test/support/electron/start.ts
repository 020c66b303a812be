/** What Electron's binary does: `node --import register.ts start.ts <folder of the app> [arguments]`. */
import { pathToFileURL } from 'node:url';
import { app } from './app.ts';
import { startHearing, tell } from './link.ts';
import { startStandIn } from './stand-in.ts';

const [program, , folder, ...given] = process.argv as [string, string, string, ...string[]];
process.argv = [program, folder, ...given];
Object.defineProperty(process, 'versions', { value: { ...process.versions, electron: '45.4.1' } });
Object.assign(process, { type: 'browser', resourcesPath: folder, defaultApp: true });

const entry = app.begin(folder);
startStandIn();
startHearing();
await import(pathToFileURL(entry).href);
tell({ kind: 'entry-settled' });
app.becomeReady();
