#!/usr/bin/env node
/** Starts the command line. Ctrl-C cancels what is under way and leaves nothing half-written. */
import { runCommand } from './program.ts';

const abort = new AbortController();
process.once('SIGINT', () => abort.abort());
process.once('SIGTERM', () => abort.abort());

process.exitCode = await runCommand(process.argv.slice(2), {
  stdout: process.stdout,
  stderr: process.stderr,
  signal: abort.signal,
  now: () => new Date().toISOString(),
});
