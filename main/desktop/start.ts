/** `npm start`: opens the desktop window, or says in one sentence why it cannot and what to do instead. */
import { spawn, spawnSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const packageFolder = dirname(createRequire(import.meta.url).resolve('electron/package.json'));
// Electron started on a file would call itself Electron, and share settings and lock with all that do.
const DIST = fileURLToPath(new URL('../../dist', import.meta.url));

/** Path of the Electron program; undefined where its binary is not here and cannot be downloaded either. */
function electronProgram(): string | undefined {
  const pathFile = join(packageFolder, 'path.txt');
  if (!existsSync(pathFile))
    spawnSync(process.execPath, [join(packageFolder, 'install.js')], { stdio: 'inherit' });
  if (!existsSync(pathFile)) return undefined;
  const program = join(packageFolder, 'dist', readFileSync(pathFile, 'utf8'));
  return existsSync(program) ? program : undefined;
}

const program = electronProgram();
if (program === undefined) {
  console.error(
    'The Electron runtime is not on this machine, so the desktop window cannot open. The same screens run in a browser: npm run browser',
  );
  process.exitCode = 1;
} else {
  // Where that is set, for a tool of an editor say, Electron would be nothing but Node.
  const { ELECTRON_RUN_AS_NODE: _, ...env } = process.env;
  const child = spawn(program, [DIST, ...process.argv.slice(2)], { stdio: 'inherit', env });
  child.on('exit', (code) => {
    process.exitCode = code ?? 1;
  });
}
