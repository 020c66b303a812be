/** Commands on past outputs, and those that delete. */

import type { Command } from 'commander';
import { RECORD_FIELDS } from '../../core/output/record-fields.ts';
import type { AddCommand } from './command-definition.ts';
import { count, JOB_FOLDER, labelList, sheetsOption, withPassword } from './shared-options.ts';

const deleteCommands = () => import('./delete-commands.ts');
const patchCommands = () => import('./patch-command.ts');
const historyCommands = () => import('./history-commands.ts');

export function defineOutputs(add: AddCommand): void {
  add('history', 'list the outputs of a job', async () => (await historyCommands()).historyCommand).argument(
    '<job>',
    'number or id of the job',
  );
  withPassword(
    add(
      'reprint',
      'write selected panels of a past output again',
      async () => (await historyCommands()).reprintCommand,
    )
      .argument('<job>', 'number or id of the job')
      .argument('<output>', 'number of the output, see history', count)
      .requiredOption('--panels <labels>', 'panels to print again, such as LH-04', labelList)
      .option('--vehicle <unit number>', 'the vehicle that they are for, where the job has several')
      .requiredOption('--reason <text>', 'why, for the archive')
      .option(
        '--color-strip',
        'also write a piece of a panel along a seam, to be printed first and compared on the vehicle',
      )
      .requiredOption('--to <folder>', JOB_FOLDER)
      .addOption(sheetsOption()),
  );
  withPassword(
    add(
      'patch',
      'write a patch for a damaged panel of a past output',
      async () => (await patchCommands()).patchCommand,
    )
      .argument('<job>', 'number or id of the job')
      .argument('<output>', 'number of the output, see history', count)
      .requiredOption('--panel <label>', 'the damaged panel, such as LH-04')
      .requiredOption(
        '--damage <lengths>',
        'the damage on its side: from the left, from the top, width, height; such as "2 m, 500, 90, 70"',
      )
      .option('--vehicle <unit number>', 'the vehicle that it is for, where the job has several')
      .requiredOption('--reason <text>', 'what happened, for the archive')
      .requiredOption('--to <folder>', JOB_FOLDER),
  );
  const record = add(
    'record',
    'enter what a past output was really made with, for reprints of its panels',
    async () => (await import('./record-command.ts')).recordCommand,
  )
    .argument('<job>', 'number or id of the job')
    .argument('<output>', 'number of the output, see history', count);
  record
    .option('--film <letter>', 'the film that it is about, where the job has several')
    .option('--vehicle <unit number>', 'the vehicle that it is about, where sets follow each other');
  for (const [field, name] of RECORD_FIELDS)
    record.option(
      `--${recordOption(field)} <text>`,
      field === 'offPrinter' ? 'last panel off printer, such as "2026-11-20 13:00"' : name.toLowerCase(),
    );
  withPassword(
    record.option('--ticket <folder>', 'also save the ticket, with what was entered, to this folder'),
  );
  withPassword(
    add(
      'verify',
      'compare the panels of a past output with its artwork again, where they lie',
      async () => (await historyCommands()).verifyCommand,
    )
      .argument('<job>', 'number or id of the job')
      .argument('<output>', 'number of the output, see history', count),
  );
  withYes(
    add(
      'delete',
      'delete a job from the archive, with its outputs and the files that only it has',
      async () => (await deleteCommands()).deleteCommand,
    ).argument('<job>', 'number or id of the job'),
  );
  withYes(
    add(
      'delete-customer',
      'delete all jobs of a customer from the archive',
      async () => (await deleteCommands()).deleteCustomerCommand,
    ).argument('<customer>', 'name of the customer, as the list of jobs shows it'),
  );
  withYes(
    add(
      'archive-clean',
      'delete files that no job and no output of the archive names',
      async () => (await deleteCommands()).cleanVaultCommand,
    ),
  );
}

const withYes = (command: Command): Command =>
  command.option('--yes', 'delete; without it, the command says what would go', false);

/** `mediaProfile` is `--media-profile`. */
const recordOption = (field: string): string =>
  field.replaceAll(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`);
