/** `npm start`: opens the desktop window, or says in one sentence why it cannot and what to do instead. */
import { spawn, spawnSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';

const packageFolder = dirname(createRequire(import.meta.url).resolve('electron/package.json'));

/** Path of the Electron program; undefined where its binary is not here and cannot be downloaded either. */
function electronProgram(): string | undefined {
  const pathFile = join(packageFolder, 'path.txt');
  if (!existsSync(pathFile))
    spawnSync(process.execPath, [join(packageFolder, 'install.js')], { stdio: 'ignore' });
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
  const child = spawn(program, [new URL('../../dist/main/desktop/main.js', import.meta.url).pathname], {
    stdio: 'inherit',
  });
  child.on('exit', (code) => {
    process.exitCode = code ?? 1;
  });
}
