/** Commands that keep jobs in the archive, list them, and enter what came of them. */

import { Option } from 'commander';
import { JOB_PROGRESS } from '../../core/output/job-progress.ts';
import type { AddCommand } from './command-definition.ts';
import { JOB_SORTS } from './job-sort.ts';
import { count, figureList, isoDate, withArtwork } from './shared-options.ts';

const actualsCommands = () => import('./actuals-commands.ts');
const importJobCommands = () => import('./import-job-command.ts');
const jobListCommands = () => import('./job-list-commands.ts');
const jobCommands = () => import('./job-commands.ts');
const noteCommands = () => import('./note-commands.ts');
const weekCommands = () => import('./week-command.ts');

export function defineArchiveJobs(add: AddCommand): void {
  withArtwork(
    add('save', 'keep a job file in the archive', async () => (await jobCommands()).saveCommand)
      .argument('<job>', 'job file')
      .option('--as <number>', 'as another job of this number, beside the one that the archive has')
      .option('--replace', 'in the place of what a window has saved', false),
  );
  add(
    'import-job',
    'import a job that was exported as one file',
    async () => (await importJobCommands()).importJobCommand,
  )
    .argument('<bundle>', '.pwjob file')
    .addOption(
      new Option('--if-there <what>', 'where the archive has the job, or one of its number, already')
        .choices(['stop', 'replace', 'keep-both'])
        .default('stop'),
    )
    .option('--number <text>', 'number of the imported job where both are kept; a free one where not given');
  add(
    'jobs',
    'list the jobs of the archive, last changed first',
    async () => (await jobListCommands()).listCommand,
  )
    .addOption(new Option('--state <state>', 'only jobs that are so far').choices(JOB_PROGRESS))
    .option('--archived', 'only jobs that were archived', false)
    .option('--all', 'archived jobs too', false)
    .addOption(new Option('--sort <column>', 'by this column').choices(JOB_SORTS).default('changed'))
    .option('--search <words>', 'only jobs in which every word begins some word')
    .option('--from <date>', 'changed on this day or later', isoDate)
    .option('--until <date>', 'changed on this day or earlier', isoDate)
    .option('--limit <count>', 'at most so many', count, 50);
  add(
    'archive-job',
    'take a job out of the usual list; nothing of it is lost',
    async () => (await jobListCommands()).archiveJobCommand,
  )
    .argument('<job>', 'number or id of the job')
    .option('--undo', 'put it back into the list', false);
  add(
    'installed',
    'enter the day on which the panels of a job were installed',
    async () => (await jobListCommands()).installedCommand,
  )
    .argument('<job>', 'number or id of the job')
    .option('--on <date>', 'that day; today where not given', isoDate)
    .option('--undo', 'remove the day that was entered', false);
  add(
    'actuals',
    'enter what a job really took, or read it beside the estimate',
    async () => (await actualsCommands()).actualsCommand,
  )
    .argument('<job>', 'number or id of the job')
    .option('--film <length>', 'film that was printed, reprints included, such as "42.5 m"')
    .option('--install-hours <hours>', 'installation, hours of all people together')
    .option(
      '--hours <step=hours>',
      'hours of printing, lamination, trimming or packing; may be given again',
      figureList,
      [],
    )
    .option(
      '--reprint <panel=reason,payer>',
      'a panel that was printed again, such as LH-03=color,customer; may be given again',
      figureList,
      [],
    )
    .option('--on <date>', 'day of the reprints; today where not given', isoDate)
    .option('--note <text>', 'what else there is to say');
  add(
    'reports',
    'show estimates against what jobs took, reprints, figures from the last jobs, wraps due for removal',
    async () => (await actualsCommands()).reportsCommand,
  )
    .option('--csv <folder>', 'also write them as tables for a spreadsheet')
    .option('--take <figure>', 'count with this figure of the last jobs from now on');
  add(
    'week',
    'show all open jobs on one time line, by printer, laminator and bay, and what breaks',
    async () => (await weekCommands()).weekCommand,
  )
    .option('--move <job>', 'number or id of a job to begin at another time')
    .option('--step <step>', 'what of it begins then: print, laminate or install', 'print')
    .option('--film <letter>', 'of a job with several films: which one')
    .option('--to <time>', 'when, such as 2026-11-24T07:30; where not given, as early as it can')
    .option('--bay <number>', 'where it is installed');
  add(
    'notes',
    'list what was noted at the panels of a job, with its photos',
    async () => (await noteCommands()).notesCommand,
  ).argument('<job>', 'number or id of the job');
  add('note', 'keep a note at a panel of a job', async () => (await noteCommands()).noteCommand)
    .argument('<job>', 'number or id of the job')
    .requiredOption('--panel <label>', 'the panel, such as LH-04')
    .option('--vehicle <unit number>', 'the vehicle whose panel it is, where the job has several')
    .requiredOption('--text <text>', 'what there is to say')
    .option('--by <name>', 'who says it', '')
    .option(
      '--photo <file>',
      'a photo, JPEG, PNG or WebP; may be given again. Where it was taken and by whom is not kept',
      figureList,
      [],
    );
}
