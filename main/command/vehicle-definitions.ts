/** Commands that enter facts of the vehicle in a job file, and lay out its panels. */

import { InvalidArgumentError, Option } from 'commander';
import { FILL_KINDS, FILL_NEEDS } from '../../core/shop/fill-kind.ts';
import type { AddCommand } from './command-definition.ts';
import { count, figureList, withArtwork } from './shared-options.ts';

const checkInCommands = () => import('./check-in-command.ts');
const rollsCommands = () => import('./rolls-command.ts');
const unitsCommands = () => import('./units-command.ts');
const installDayCommands = () => import('./install-day-command.ts');
const vehicleCommands = () => import('./vehicle-command.ts');
const fillCommands = () => import('./fill-command.ts');
const suggestCommands = () => import('./suggest-command.ts');

export function defineVehicle(add: AddCommand): void {
  add(
    'check-in',
    'note what the tape showed on the vehicle, or list the dimensions to measure',
    async () => (await checkInCommands()).checkInCommand,
  )
    .argument('<job>', 'job file; the figures are written into it')
    .requiredOption('--side <code>', 'code of the side, such as LH')
    .option(
      '--figure <dimension=length>',
      'what the tape showed, such as width=7212 or width="283 7/8 in"; may be given again',
      figureList,
      [],
    );
  add(
    'units',
    'list the vehicles of a job file, take them from a table, or note what is to be known of one',
    async () => (await unitsCommands()).unitsCommand,
  )
    .argument('<job>', 'job file; the vehicles are written into it')
    .option(
      '--list <file>',
      'CSV with a row a vehicle: unit number, license plate; tabs or semicolons do as well',
    )
    .option('--type <code>', 'code of the type of vehicle, where the job has several')
    .option('--vehicle <unit number>', 'the one of several vehicles that the count or the note is for')
    .option('--arrived <count>', 'how many of its panels arrived where it is installed', wholeCount)
    .option('--note <text>', 'what its crew has to know; empty to remove the note');
  add(
    'install-day',
    'list on which day of the installation panels of a job file are installed, or set it',
    async () => (await installDayCommands()).installDayCommand,
  )
    .argument('<job>', 'job file; the day is written into it')
    .argument('[names...]', 'sides or panels, such as LH RH-03')
    .option(
      '--day <number>',
      'the day that they are installed on, the first of the installation being 1',
      count,
    );
  add(
    'vehicle',
    'put body lines from a table, doors and areas from JSON, or a photo and its points onto a side of a job file',
    async () => (await vehicleCommands()).vehicleCommand,
  )
    .argument('<job>', 'job file; what is put is written into it')
    .requiredOption('--side <code>', 'code of the side, such as LH')
    .option(
      '--lines <file>',
      'CSV with a row a point under the head "line,kind,x,y"; lengths from the left and top of the side, in the unit of the job where they name none',
    )
    .option(
      '--items <file>',
      'JSON of "bodyLines", "doors", "noFilmAreas", "noSeamAreas", "ground" and "template" with the fields of the job file; ids may be left out, and what the side has by the same name is replaced',
    )
    .option('--photo <file>', 'photo of the side, JPEG, PNG or WebP; it is kept in the archive')
    .option(
      '--photo-points <file>',
      'JSON of where points of the photo are on the side: {"points": [{"xPx", "yPx", "xMm", "yMm"}]}, or "rectangle" and "lengths" as in the job file',
    );
  withArtwork(
    add(
      'suggest',
      'suggest where the seams of a side could go, with what each panel layout costs',
      async () => (await suggestCommands()).suggestCommand,
    )
      .argument('<job>', 'job file')
      .requiredOption('--side <code>', 'code of the side, such as LH')
      .option('--one-way', 'seams of one direction right across, no sections of both directions', false)
      .option('--roll <mm>', 'true width of another roll at hand; may be given again', rollWidths, [])
      .option('--take <plan>', 'put this panel layout into the job file')
      .option('--cheaper-film', 'with its flat panels on the cheaper film of the job', false),
  );
  add(
    'rolls',
    'nest the panels of one job or several on the rolls of one film',
    async () => (await rollsCommands()).rollsCommand,
  )
    .argument('<jobs...>', 'job files that print on the same film')
    .option('--to <file>', 'PDF of the nesting sheet to write');
  add(
    'fill',
    'list the waste beside the panels of a job and what fits into it, or change its fill list',
    async () => (await fillCommands()).fillCommand,
  )
    .argument('<job>', 'job file; its fill list is written into it')
    .option('--film <letter>', 'which film of the job; the first where not given')
    .option('--add <name>', 'put a small piece on the list')
    .option('--size <width x height>', 'of the piece, its border included, such as "24 in x 6 in"')
    .addOption(new Option('--kind <kind>', 'what it is').choices(FILL_KINDS).default('other'))
    .addOption(
      new Option('--need <need>', 'how much it is needed; by its kind where not given').choices(FILL_NEEDS),
    )
    .option('--count <number>', 'how many of it', count, 1)
    .option('--each-vehicle', 'one for each vehicle, its unit number behind the name', false)
    .option('--take <name>', 'put on the list what waits in the archive; may be given again', figureList, [])
    .option('--remove <name>', 'take off the list; may be given again', figureList, []);
}

function wholeCount(text: string): number {
  if (!/^\d{1,4}$/.test(text.trim())) throw new InvalidArgumentError('Write a whole number, such as 17.');
  return Number(text);
}

function rollWidths(text: string, before: readonly number[]): number[] {
  const width = Number(text);
  if (!(width > 0 && width < 10_000))
    throw new InvalidArgumentError('Write the width in mm, such as 1371.6.');
  return [...before, width];
}
