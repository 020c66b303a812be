/** The command line: one command per thing that an operator or owner does. `runCommand` is also what tests call. */

import { Command, CommanderError, InvalidArgumentError, Option } from 'commander';
import { sentence } from '../../core/measure/list-text.ts';
import { PAGE_BOXES } from '../../core/measure/page-box.ts';
import type { Problem, Result } from '../../core/measure/result.ts';
import { JOB_PROGRESS } from '../../core/output/job-progress.ts';
import { RECORD_FIELDS } from '../../core/output/record-fields.ts';
import { SELECTED_SHEETS, type SheetKind, USUAL_SHEETS } from '../../core/output/sheet-kind.ts';
import { FILL_KINDS, FILL_NEEDS } from '../../core/shop/fill-kind.ts';
import { STOCK_USES, type StockUse } from '../../core/shop/stock-use.ts';
import { archivePlace, defaultArchiveFolder, isPostgresPlace } from '../archive/archive-folder.ts';
import type { Log } from '../files/day-log.ts';
import { fileProblem } from '../files/file-problem.ts';
import { PROGRAM_VERSION } from '../files/program.ts';
import { errorSentence } from '../files/standard-streams.ts';
import type { TaskRunner } from '../tasks/task-runner.ts';
import { tasksInPlace } from '../tasks/tasks-in-place.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import { EXIT, type ExitCode, exitCodeOf } from './exit-code.ts';
import { JOB_SORTS } from './job-sort.ts';
import { type Streams, Terminal } from './terminal.ts';

/** A command loads what it needs when it runs: `--help` needs none of it. */
const actualsCommands = () => import('./actuals-commands.ts');
const archiveCommands = () => import('./archive-commands.ts');
const artworkCommands = () => import('./artwork-commands.ts');
const checkInCommands = () => import('./check-in-command.ts');
const designerCommands = () => import('./designer-commands.ts');
const deleteCommands = () => import('./delete-commands.ts');
const importJobCommands = () => import('./import-job-command.ts');
const beginCommands = () => import('./begin-command.ts');
const patchCommands = () => import('./patch-command.ts');
const historyCommands = () => import('./history-commands.ts');
const inkCommands = () => import('./ink-command.ts');
const jobListCommands = () => import('./job-list-commands.ts');
const jobCommands = () => import('./job-commands.ts');
const noteCommands = () => import('./note-commands.ts');
const reportCommands = () => import('./report-command.ts');
const compareCommands = () => import('./compare-command.ts');
const rollsCommands = () => import('./rolls-command.ts');
const shopCommands = () => import('./shop-command.ts');
const unitsCommands = () => import('./units-command.ts');
const installDayCommands = () => import('./install-day-command.ts');
const doctorCommands = () => import('./doctor-command.ts');
const watchCommands = () => import('./watch-command.ts');
const queueCommands = () => import('./queue-command.ts');
const workerCommands = () => import('./worker-command.ts');
const vehicleCommands = () => import('./vehicle-command.ts');
const printedCommands = () => import('./printed-command.ts');
const fillCommands = () => import('./fill-command.ts');
const stockCommands = () => import('./stock-commands.ts');
const weekCommands = () => import('./week-command.ts');
const suggestCommands = () => import('./suggest-command.ts');

type Action = (context: CommandContext) => Promise<Result<CommandOutcome>>;

export interface CommandHost extends Streams {
  readonly signal: AbortSignal;
  now(): string;
  /** See CommandContext. */
  readonly locale: string;
  /** Absent: nothing is logged. */
  readonly log?: Log;
}

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

interface GlobalOptions {
  readonly archive: string;
  readonly vault?: string;
  readonly json: boolean;
}

async function runAction(action: Action, globals: GlobalOptions, host: CommandHost): Promise<ExitCode> {
  const terminal = new Terminal(host, globals.json);
  const now = () => host.now();
  const place = archivePlace(globals.archive, globals.vault);
  const { loggedTasks } = await import('../tasks/logged-tasks.ts');
  const work = host.log ? loggedTasks(tasksInPlace, host.log) : tasksInPlace;
  const acting = { work, planning: work, now };
  const context: CommandContext = {
    ...acting,
    terminal,
    tools: { signal: host.signal, report: (progress) => terminal.printProgress(progress) },
    archiveFolder: place,
    locale: host.locale,
    log: host.log,
    withArchive: async (use) => {
      const { openArchive } = await import('../archive/archive.ts');
      const archive = await openArchive(place);
      if (!archive.ok) return archive;
      const queued = isPostgresPlace(place) ? await queuedWork(place, tasksInPlace, host.log) : undefined;
      try {
        return await use({
          ...acting,
          ...(queued && { work: queued.work, planning: queued.work }),
          archive: archive.value,
        });
      } finally {
        await queued?.close();
        await archive.value.close();
      }
    },
  };
  const { tryArchive } = await import('../archive/port.ts');
  const outcome = await tryArchive(() => action(context));
  if (outcome.ok) return outcome.value === 'blocked' ? EXIT.blocked : EXIT.done;
  terminal.printProblem(outcome.problem);
  return exitCodeOf(outcome.problem as Problem);
}

/** Work of a shared archive, which its workers do where any are there. */
async function queuedWork(place: string, local: TaskRunner, log: Log | undefined) {
  const { SeatQueue } = await import('../queue/seat-queue.ts');
  const { QueueTasks } = await import('../queue/queue-tasks.ts');
  const { loggedTasks } = await import('../tasks/logged-tasks.ts');
  const queue = new SeatQueue(place, log);
  const tasks = new QueueTasks({ queue, local, log });
  return { work: log ? loggedTasks(tasks, log) : tasks, close: async () => await queue.close() };
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

  const add = (
    name: string,
    description: string,
    load: () => Promise<(...args: never[]) => Action>,
  ): Command => {
    const command = program.command(name).description(description);
    return command.action(async (...args: unknown[]) => {
      // Commander hands over the arguments, then the options, then the command itself.
      const action = (await load()) as (...given: unknown[]) => Action;
      await run(action(...args.slice(0, -1)), program.opts<GlobalOptions>());
    });
  };

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
      .option('--artwork <file>', 'artwork PDF')
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
    'write a guide of the panels for whoever draws the artwork: layers of thin lines, a page for each side',
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
    'list the vehicles of a job file, or take them from a table',
    async () => (await unitsCommands()).unitsCommand,
  )
    .argument('<job>', 'job file; the vehicles are written into it')
    .option(
      '--list <file>',
      'CSV with a row a vehicle: unit number, license plate; tabs or semicolons do as well',
    )
    .option('--type <code>', 'code of the type of vehicle, where the job has several');
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
    .requiredOption('--text <text>', 'what there is to say')
    .option('--by <name>', 'who says it', '')
    .option(
      '--photo <file>',
      'a photo, JPEG, PNG or WebP; may be given again. Where it was taken and by whom is not kept',
      figureList,
      [],
    );
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
    'enter what a past output was really made with, for whoever prints its panels again',
    async () => (await historyCommands()).recordCommand,
  )
    .argument('<job>', 'number or id of the job')
    .argument('<output>', 'number of the output, see history', count);
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
  add(
    'shop',
    'print the settings of the shop as JSON, which new jobs begin with, or keep others',
    async () => (await shopCommands()).shopCommand,
  ).option('--set <file>', 'JSON file of a shop, as this command prints it');
  add('stock', 'list the rolls on the shelf', async () => (await stockCommands()).stockCommand)
    .option('--use <use>', 'only film, laminate or perforated-film', stockUse)
    .option('--material <words>', 'only materials whose name has these words')
    .option('--lot <text>', 'only this lot number')
    .option('--width <length>', 'only this true width, such as 1371.6 or "54 in"')
    .option('--all', 'rolls that are used up too', false);
  add(
    'stock-ledger',
    'show a roll of the shelf with everything that was put on it and taken off',
    async () => (await stockCommands()).ledgerCommand,
  ).argument('<roll>', STOCK_ROLL);
  add(
    'stock-labels',
    'write labels for rolls of the shelf, whose code finds them again',
    async () => (await stockCommands()).labelsCommand,
  )
    .argument('<rolls...>', 'codes of the rolls, such as R-0042')
    .requiredOption('--to <file>', 'PDF to write')
    .option('--skip <count>', 'labels that are gone from the first sheet already', count);
  withEntry(
    add('stock-receive', 'put a roll on the shelf', async () => (await stockCommands()).receiveCommand)
      .requiredOption('--material <name>', 'what the film or laminate is called')
      .option('--use <use>', 'film, laminate or perforated-film', stockUse, 'film')
      .requiredOption('--lot <text>', 'lot number of its maker; "" where it is not known')
      .requiredOption('--roll <text>', 'roll number')
      .requiredOption('--width <length>', 'true width, such as 1371.6 or "54 in"')
      .requiredOption('--length <length>', 'length on it, such as "45.72 m" or "150 ft"')
      .option('--place <text>', 'where it stands', '')
      .option('--received <date>', 'day on which it came in; today where not given', isoDate)
      .option('--use-by <date>', 'last day on which its maker answers for it', isoDate),
  );
  withEntry(
    add(
      'stock-change',
      'put right what is known of a roll of the shelf; what is not given stays',
      async () => (await stockCommands()).changeCommand,
    )
      .argument('<roll>', STOCK_ROLL)
      .option('--material <name>', 'what the film or laminate is called')
      .option('--use <use>', 'film, laminate or perforated-film', stockUse)
      .option('--lot <text>', 'lot number of its maker; "" where it is not known')
      .option('--roll <text>', 'roll number')
      .option('--width <length>', 'true width, such as 1371.6 or "54 in"')
      .option('--place <text>', 'where it stands')
      .option('--received <date>', 'day on which it came in', isoDate)
      .option('--use-by <date>', 'last day on which its maker answers for it; "" where there is none'),
  );
  withEntry(
    add(
      'stock-correct',
      'enter what was measured on a roll of the shelf',
      async () => (await stockCommands()).correctCommand,
    )
      .argument('<roll>', STOCK_ROLL)
      .requiredOption('--left <length>', 'what is left on it, such as "12.4 m"; 0 where it is used up')
      .option('--note <text>', 'why it differs', ''),
  );
  withBelowZero(
    add(
      'printed',
      'enter that an output was printed: takes what it used off the rolls of the shelf',
      async () => (await printedCommands()).printedCommand,
    )
      .argument('<job>', 'number or id of the job')
      .argument('<output>', 'number of the output, see history', count)
      .option(
        '--roll <roll=length>',
        'roll of the shelf in place of the next planned one, such as R-0042, or R-0042="12.4 m" where not as planned; may be given again',
        figureList,
        [],
      )
      .option('--laminate <roll=length>', 'the same for laminate', figureList, [])
      .option('--used-up <roll>', 'nothing is left on this roll; may be given again', figureList, [])
      .option('--off-printer <text>', 'last panel off printer, such as "2026-11-20 13:00"')
      .option('--again', 'it was printed once more', false),
  );
  withBelowZero(
    add(
      'stock-scrap',
      'take film off a roll of the shelf that is not used for a job',
      async () => (await stockCommands()).scrapCommand,
    )
      .argument('<roll>', STOCK_ROLL)
      .requiredOption('--length <length>', 'how much, such as "1.2 m"')
      .option('--note <text>', 'why', ''),
  );
  withBelowZero(
    add(
      'stock-undo',
      'undo a wrong entry in the ledger of a roll by a counter-entry',
      async () => (await stockCommands()).undoCommand,
    )
      .argument('<entry>', 'number of the entry, see stock-ledger', count)
      .option('--note <text>', 'what was wrong', ''),
  );
  add(
    'doctor',
    'say what the program finds on this machine, and what is wrong: database, vault, disk, versions, fonts, renderer, clock, log',
    async () => (await doctorCommands()).doctorCommand,
  );
  add(
    'archive-check',
    'check the database and every kept file',
    async () => (await archiveCommands()).checkArchiveCommand,
  );
  add(
    'archive-backup',
    'copy the archive, its database and its files, while it may be in use',
    async () => (await archiveCommands()).backUpCommand,
  ).requiredOption(
    '--to <folder>',
    'folder to write; it is an archive itself, and restores by taking the place of the old one',
  );
  add(
    'archive-move',
    'copy an archive into an empty one of another kind, such as from a folder into a shared one; the first stays as it is',
    async () => (await archiveCommands()).moveArchiveCommand,
  )
    .requiredOption('--to <archive>', 'folder, or address such as postgres://server/database')
    .option('--to-vault <folder>', 'with an address: the folder for its files');
  add(
    'archive-set-aside',
    'begin a new database, and rename a damaged one',
    async () => (await archiveCommands()).setAsideCommand,
  );
  return program;
}

/** What the parser complains of, as a sentence: “error: unknown option '--x'” is “Unknown option '--x'.” */
function usageSentence(complaint: string): string {
  const bare = complaint.trim().replace(/^error: /, '');
  return `${sentence(/[.?)]$/.test(bare) ? bare : `${bare}.`)}\n`;
}

const JOB_FOLDER =
  'folder for the job: each output gets a folder of its own in it, and “current” is the one to print from';

const boxOption = () =>
  new Option('--box <name>', 'page box whose top left corner is the origin of the drawing')
    .choices(PAGE_BOXES)
    .default('crop');

const figureList = (figure: string, before: readonly string[]): string[] => [...before, figure];

const sheetsOption = () =>
  new Option('--sheets <names>', `papers to write, of: ${SELECTED_SHEETS.join(', ')}; or none`)
    .argParser(sheetList)
    .default(
      [...USUAL_SHEETS],
      'all but map-lines, a map without artwork for cheap printers, check-in, quote, customer proof and seams at true size, which come before an output, and xjdf and cut-contours, which are for other programs',
    );

const STOCK_ROLL = 'code on the label of the roll, such as R-0042';

const withEntry = (command: Command): Command =>
  command
    .option('--by <name>', 'who enters it', '')
    .option('--inches', 'show lengths in inches, whatever the shop does', false);

const withBelowZero = (command: Command): Command =>
  withEntry(
    command.option(
      '--below-zero',
      'even where the roll comes out below zero; without it, that is refused',
      false,
    ),
  );

const withYes = (command: Command): Command =>
  command.option('--yes', 'delete; without it, the command says what would go', false);

const withPassword = (command: Command): Command =>
  command.option('--password <text>', 'password of an encrypted artwork');

const withArtwork = (command: Command): Command =>
  withPassword(
    command
      .option('--artwork <file>', 'artwork PDF, where the job file has none or it lies elsewhere')
      .addOption(boxOption()),
  );

/** `mediaProfile` is `--media-profile`. */
const recordOption = (field: string): string =>
  field.replaceAll(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`);

function labelList(text: string): string[] {
  const labels = text.split(/[\s,]+/).filter((label) => label !== '');
  if (labels.length === 0) throw new InvalidArgumentError('Name at least one panel.');
  return labels;
}

function sheetList(text: string): SheetKind[] {
  if (text.trim() === 'none') return [];
  return text
    .split(/[\s,]+/)
    .filter((name) => name !== '')
    .map((name) => {
      const kind = SELECTED_SHEETS.find((known) => known === name);
      if (!kind) throw new InvalidArgumentError(`Select from ${SELECTED_SHEETS.join(', ')}, or none.`);
      return kind;
    });
}

function stockUse(text: string): StockUse {
  const use = STOCK_USES.find((known) => known === text);
  if (!use) throw new InvalidArgumentError(`Select from ${STOCK_USES.join(', ')}.`);
  return use;
}

function ratio(text: string): number {
  const value = Number(text.replace(/^1:/, ''));
  if (!(value > 0 && value <= 1000)) throw new InvalidArgumentError('Write 10 or 1:10, at most 1:1000.');
  return value;
}

function rollWidths(text: string, before: readonly number[]): number[] {
  const width = Number(text);
  if (!(width > 0 && width < 10_000))
    throw new InvalidArgumentError('Write the width in mm, such as 1371.6.');
  return [...before, width];
}

function isoDate(text: string): string {
  if (!/^\d{4}-\d{2}-\d{2}$/.test(text) || Number.isNaN(Date.parse(text))) {
    throw new InvalidArgumentError('Write the date as 2026-03-09.');
  }
  return text;
}

function count(text: string): number {
  if (!/^[1-9]\d{0,8}$/.test(text)) throw new InvalidArgumentError('Write a whole number from 1.');
  return Number(text);
}

const EXIT_CODE_HELP = `
Exit codes: 0 done, 1 findings block the output or its verification failed, 2 wrong command line, 3 artwork or job unusable,
4 file or folder trouble, 5 archive trouble, 130 canceled.`;
