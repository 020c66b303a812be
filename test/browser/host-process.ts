/**
 * The loopback host as a process of its own, so that it can be killed: `node host-process.ts <screens> <folder>`. The
 * archive, the output and the uploads lie in the folder. Prints its address.
 */
import { startFolderHost } from './folder-host.ts';

const [screensFolder, folder] = process.argv.slice(2) as [string, string];
const { host } = await startFolderHost(screensFolder, folder);
console.log(host.url);
