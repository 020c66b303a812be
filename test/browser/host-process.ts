/**
 * The loopback host as a process of its own, so that it can be killed: `node host-process.ts <screens> <folder> [port]`.
 * The archive, the output and the uploads lie in the folder. Prints an address that works once.
 */
import { startFolderHost } from './folder-host.ts';

const [screensFolder, folder, port] = process.argv.slice(2) as [string, string, string?];
const { host } = await startFolderHost(screensFolder, folder, undefined, Number(port ?? 0));
console.log(host.entryAddress());
