/**
 * The command line: one command per thing that an operator or owner does. `runCommand` is also what tests call.
 *
 * ```ts
 * const said = [];
 * const stream = { write: (text) => said.push(text) };
 * const { signal } = new AbortController();
 * const host = { stdout: stream, stderr: stream, signal, locale: 'en-US', now: () => '2026-11-25T08:00:00Z' };
 * await runCommand(['--archive', folder, 'jobs'], host); // → 0
 * await runCommand(['--archive', folder, 'history', 'VAN-17'], host); // → 5
 * said.at(-1).includes('VAN-17'); // → true
 * ```
 */

import { Command, CommanderError } from 'commander';
import { sentence } from '../../core/measure/list-text.ts';
import { defaultArchiveFolder } from '../archive/archive-folder.ts';
import { fileProblem } from '../files/file-problem.ts';
import { PROGRAM_VERSION } from '../files/program.ts';
import { errorSentence } from '../files/standard-streams.ts';
import { defineArchiveJobs } from './archive-job-definitions.ts';
import { defineArtwork } from './artwork-definitions.ts';
import type { Action, AddCommand } from './command-definition.ts';
import { EXIT, type ExitCode } from './exit-code.ts';
import { defineJobFile } from './job-file-definitions.ts';
import { defineOutputs } from './output-definitions.ts';
import { type CommandHost, type GlobalOptions, runAction } from './run-action.ts';
import { defineShop } from './shop-definitions.ts';
import { defineUpkeep } from './upkeep-definitions.ts';
import { defineVehicle } from './vehicle-definitions.ts';

/** Runs one command line (without the program's own name). Never throws; what went wrong is said on stderr. */
export async function runCommand(args: readonly string[], host: CommandHost): Promise<ExitCode> {
  let exitCode: ExitCode = EXIT.done;
  const program = commandProgram(host, async (action, globals) => {
    exitCode = await runAction(action, globals, host);
  });
  try {
    await program.parseAsync([...args], { from: 'user' });
    return exitCode;
  } catch (error) {
    if (error instanceof CommanderError) return error.exitCode === 0 ? EXIT.done : EXIT.usage;
    host.log?.('Uncaught error', error);
    host.stderr.write(`${errorSentence(error)}\n`);
    return fileProblem(error, '') ? EXIT.files : EXIT.internal;
  }
}

type Runner = (action: Action, globals: GlobalOptions) => Promise<void>;

function commandProgram(host: CommandHost, run: Runner): Command {
  const program = new Command('panelwright');
  program
    .description(
      'Cuts vehicle and trailer artwork into numbered printable panels, with map, manifest and archive.',
    )
    .version(PROGRAM_VERSION)
    .option(
      '--archive <folder>',
      'folder of the archive, or the address of a shared one, such as postgres://server/database',
      defaultArchiveFolder(),
    )
    .option(
      '--vault <folder>',
      'with the address of a shared archive: the folder for its files, which all seats reach',
      process.env.PANELWRIGHT_VAULT,
    )
    .option('--json', 'print results as JSON', false)
    .showHelpAfterError('Add --help to see what the command takes.')
    .exitOverride()
    .configureOutput({
      writeOut: (text) => host.stdout.write(text),
      writeErr: (text) => host.stderr.write(text),
      outputError: (text, write) => write(usageSentence(text)),
    })
    .addHelpText('after', EXIT_CODE_HELP);

  const add: AddCommand = (name, description, load) => {
    const command = program.command(name).description(description);
    return command.action(async (...args: unknown[]) => {
      // Commander hands over the arguments, then the options, then the command itself.
      const action = (await load()) as (...given: unknown[]) => Action;
      await run(action(...args.slice(0, -1)), program.opts<GlobalOptions>());
    });
  };

  defineArtwork(add);
  defineJobFile(add);
  defineVehicle(add);
  defineArchiveJobs(add);
  defineOutputs(add);
  defineShop(add);
  defineUpkeep(add);
  return program;
}

/** What the parser complains of, as a sentence: “error: unknown option '--x'” is “Unknown option '--x'.” */
function usageSentence(complaint: string): string {
  const bare = complaint.trim().replace(/^error: /, '');
  return `${sentence(/[.?)]$/.test(bare) ? bare : `${bare}.`)}\n`;
}

const EXIT_CODE_HELP = `
Exit codes: 0 done, 1 findings block the output or its verification failed, 2 wrong command line, 3 artwork or job unusable,
4 file or folder trouble, 5 archive trouble, 130 canceled.`;
