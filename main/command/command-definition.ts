/** How a command is defined for the parser. */

import type { Command } from 'commander';
import type { Result } from '../../core/measure/result.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';

export type Action = (context: CommandContext) => Promise<Result<CommandOutcome>>;

/** A command loads what it needs when it runs: `--help` needs none of it. `load` gives a function from arguments and options. */
export type AddCommand = (
  name: string,
  description: string,
  load: () => Promise<(...args: never[]) => Action>,
) => Command;
