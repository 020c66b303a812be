#!/usr/bin/env node
/** Starts the command line. Ctrl-C cancels what is under way and leaves nothing half-written. */
import { keepCompiledCode } from '../files/compile-cache.ts';
import { defaultLogFolder, openLog, setUpErrorLog } from '../files/day-log.ts';
import { setUpStandardStreams } from '../files/standard-streams.ts';
import { EXIT } from './exit-code.ts';

setUpStandardStreams(process, { files: EXIT.files, bug: EXIT.internal });

const abort = new AbortController();
process.once('SIGINT', () => abort.abort());
process.once('SIGTERM', () => abort.abort());

// Before the commands are loaded.
keepCompiledCode();
const { runCommand } = await import('./program.ts');

const now = () => new Date().toISOString();
const log = openLog(defaultLogFolder(), now);
setUpErrorLog(process, log);

process.exitCode = await runCommand(process.argv.slice(2), {
  stdout: process.stdout,
  stderr: process.stderr,
  signal: abort.signal,
  now,
  log,
  locale: Intl.DateTimeFormat().resolvedOptions().locale,
});
