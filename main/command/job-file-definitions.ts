/** Commands that check a job file and write what it asks for. */

import { Option } from 'commander';
import type { AddCommand } from './command-definition.ts';
import { isoDate, JOB_FOLDER, labelList, ratio, sheetsOption, withArtwork } from './shared-options.ts';

const designerCommands = () => import('./designer-commands.ts');
const inkCommands = () => import('./ink-command.ts');
const jobCommands = () => import('./job-commands.ts');
const reportCommands = () => import('./report-command.ts');
const compareCommands = () => import('./compare-command.ts');

export function defineJobFile(add: AddCommand): void {
  withArtwork(
    add(
      'check',
      'say what is wrong, doubtful or worth knowing about a job',
      async () => (await jobCommands()).checkCommand,
    ).argument('<job>', 'job file'),
  );
  withArtwork(
    add(
      'compare',
      'say which panels a corrected artwork leaves as they are, and where it changes the others',
      async () => (await compareCommands()).compareCommand,
    )
      .argument('<job>', 'job file')
      .requiredOption('--with <file>', 'the corrected artwork, PDF; nothing is replaced')
      .option('--with-password <text>', 'password of the corrected artwork'),
  );
  withArtwork(
    add(
      'ink',
      'say how much ink the artwork asks for, panel by panel',
      async () => (await inkCommands()).inkCommand,
    ).argument('<job>', 'job file'),
  );
  withArtwork(
    add(
      'cut',
      'write panels, install map and manifest of a job',
      async () => (await jobCommands()).cutCommand,
    )
      .argument('<job>', 'job file')
      .option('--all', 'show each finding on a line of its own', false)
      .requiredOption('--to <folder>', JOB_FOLDER)
      .option('--panels <labels>', 'only these panels, such as LH-01,LH-02', labelList)
      .option(
        '--changed',
        'only panels that no earlier output is good for: the artwork or the panel layout has changed there',
        false,
      )
      .addOption(sheetsOption())
      .addOption(
        new Option(
          '--files <kind>',
          'print files, where not as the job says: one per panel, or one per strip',
        ).choices(['panels', 'strips']),
      )
      .option(
        '--cut-contours',
        'write the cut contours into the panel files, too, in a spot ink on a layer of their own; set the RIP to cut it, not to print it',
      )
      .option('--no-archive', 'do not keep the output in the archive')
      .option('--no-verification', 'do not compare the written panels with the artwork'),
  );
  withArtwork(
    add(
      'report',
      'write what the checks say about a job and its artwork, with pictures',
      async () => (await reportCommands()).reportCommand,
    )
      .argument('<job>', 'job file')
      .requiredOption('--to <file>', 'PDF to write'),
  );
  withArtwork(
    add(
      'designer-findings',
      'write what the designer can mend in the artwork: a report, and a copy of it with the same as annotations',
      async () => (await designerCommands()).designerFindingsCommand,
    )
      .argument('<job>', 'job file')
      .requiredOption('--to <folder>', 'folder for the job: the findings get a folder of their own in it'),
  );
  add(
    'approve',
    'enter who signed the customer proof of the artwork, and when',
    async () => (await designerCommands()).approveCommand,
  )
    .argument('<job>', 'job file; the signature is written into it')
    .option('--by <name>', 'who signed')
    .option('--on <date>', 'day on which it was signed; today where not given', isoDate)
    .option('--note <text>', 'what was said', '')
    .option('--clear', 'take the signature out of the job', false);
  add(
    'guide',
    'write a guide of the panels for the designer of the artwork: layers of thin lines, a page for each side',
    async () => (await designerCommands()).guideCommand,
  )
    .argument('<job>', 'job file; it needs no artwork yet')
    .requiredOption('--to <folder>', 'folder for the job: the guide gets a folder of its own in it')
    .option(
      '--scale <ratio>',
      'drawing scale, such as 10 or 1:10; as large as fits a page where not given',
      ratio,
    )
    .option('--per-side', 'a file for each side in place of one for all', false)
    .option('--svg', 'each side as SVG, too', false);
  withArtwork(
    add(
      'sheets',
      'write the papers of a job alone: install map, ticket, labels, packing list, seams at true size and others',
      async () => (await jobCommands()).sheetsCommand,
    )
      .argument('<job>', 'job file')
      .requiredOption('--to <folder>', 'folder for the job: the sheets get a folder of their own in it')
      .option(
        '--seams-off <lengths>',
        'of the sheet of seams: how far a panel is off across and along, 3 mm at most, such as "1 mm, 0.5 mm"; where not given, as the job says',
      )
      .addOption(sheetsOption()),
  );
}
