#!/usr/bin/env node
/** Starts the command line. Ctrl-C cancels what is under way and leaves nothing half-written. */
import { setUpStandardStreams } from '../files/standard-streams.ts';
import { EXIT } from './exit-code.ts';
import { runCommand } from './program.ts';

setUpStandardStreams(process, { files: EXIT.files, bug: EXIT.internal });

const abort = new AbortController();
process.once('SIGINT', () => abort.abort());
process.once('SIGTERM', () => abort.abort());

process.exitCode = await runCommand(process.argv.slice(2), {
  stdout: process.stdout,
  stderr: process.stderr,
  signal: abort.signal,
  now: () => new Date().toISOString(),
});
