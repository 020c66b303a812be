#!/usr/bin/env node
/** Starts the command line. Ctrl-C cancels what is under way and leaves nothing half-written. */
import { enableCompileCache } from 'node:module';
import { setUpStandardStreams } from '../files/standard-streams.ts';
import { EXIT } from './exit-code.ts';

setUpStandardStreams(process, { files: EXIT.files, bug: EXIT.internal });

const abort = new AbortController();
process.once('SIGINT', () => abort.abort());
process.once('SIGTERM', () => abort.abort());

// Before the commands are loaded: the next start need not compile them again.
enableCompileCache();
const { runCommand } = await import('./program.ts');

process.exitCode = await runCommand(process.argv.slice(2), {
  stdout: process.stdout,
  stderr: process.stderr,
  signal: abort.signal,
  now: () => new Date().toISOString(),
});
