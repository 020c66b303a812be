/** Commands that take artwork in, and those that watch over such work. */

import { Option } from 'commander';
import { PAGE_BOXES } from '../../core/measure/page-box.ts';
import type { AddCommand } from './command-definition.ts';
import { boxOption, figureList, ratio, withPassword } from './shared-options.ts';

const artworkCommands = () => import('./artwork-commands.ts');
const beginCommands = () => import('./begin-command.ts');
const watchCommands = () => import('./watch-command.ts');
const queueCommands = () => import('./queue-command.ts');
const workerCommands = () => import('./worker-command.ts');

export function defineArtwork(add: AddCommand): void {
  withPassword(
    add(
      'inspect',
      'show the pages of an artwork PDF: sizes, boxes, what to know before trusting it',
      async () => (await artworkCommands()).inspectCommand,
    )
      .argument('<artwork>', 'PDF file')
      .addOption(boxOption()),
  );
  withPassword(
    add(
      'begin',
      'make a new job file: from an artwork PDF, a side for every page, or from the vehicle alone',
      async () => (await beginCommands()).beginCommand,
    )
      .argument('<job>', 'job file to write')
      .option(
        '--artwork <file...>',
        'artwork PDF; of several, such as one for each side, the pages follow each other',
      )
      .option(
        '--side <side=size>',
        'without artwork: a side and its finished size, such as left="6000 mm x 2600 mm"; lengths are in the unit of the shop where they name none; may be given again',
        figureList,
        [],
      )
      .option(
        '--saved-layout <side=name>',
        'without artwork: a side by a saved layout of the shop, such as left="Panel van"; may be given again',
        figureList,
        [],
      )
      .option('--kind <kind>', 'kind of vehicle: van, truck, trailer, box-body, bus, car or other', 'van')
      .requiredOption('--number <text>', "the shop's own job number")
      .requiredOption('--customer <text>', 'for whom')
      .option('--name <text>', 'what the job is called; its number where not given')
      .option('--scale <ratio>', 'finished size over drawn size, such as 10 for 1:10', ratio, 1)
      .option('--inches', 'show lengths in inches, whatever the shop does', false)
      .addOption(boxOption()),
  );
  add(
    'watch',
    'make jobs of the artwork PDFs that come into a folder, and write those that nothing speaks against',
    async () => (await watchCommands()).watchCommand,
  )
    .argument(
      '<folder>',
      'folder to watch; a PDF may lie in a folder named after a saved layout, or have a text of its name beside it, with lines such as “scale: 1:10”',
    )
    .option('--to <folder>', 'folder for the outputs; where not given, _out in the watched one');
  add(
    'worker',
    'do heavy work of all seats of a shared archive, task by task, until it is ended; any number may run, on any machines',
    async () => (await workerCommands()).workerCommand,
  );
  add(
    'queue',
    'show the heavy work of all seats of a shared archive: what waits, runs and failed, and why',
    async () => (await queueCommands()).queueCommand,
  ).option('--cancel <task>', 'cancel a task, whichever seat asked for it');
  withPassword(
    add(
      'import',
      'make a PDF the artwork of a job file, and keep both in the archive; a corrected one is compared with the artwork before, panel by panel',
      async () => (await artworkCommands()).importCommand,
    )
      .argument(
        '<artwork...>',
        'PDF file; of several, such as one for each side, the pages follow each other',
      )
      .requiredOption('--job <file>', 'job file that the artwork belongs to')
      .addOption(
        new Option(
          '--box <name>',
          'page box whose top left corner is the origin of the drawing; crop where not given, and that of the artwork before where the job has one',
        ).choices(PAGE_BOXES),
      ),
  );
}
