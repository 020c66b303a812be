import { randomUUID } from 'node:crypto';
import { findingKey } from '../../core/findings/finding.ts';
import { jobWithId } from '../../core/job/job-copy.ts';
import { type Job, MOST_SEAM_OFF_MM } from '../../core/job/schema.ts';
import { jobLayout } from '../../core/layout/side-layout.ts';
import { lengthFromText } from '../../core/measure/length-from-text.ts';
import { present, valueAt } from '../../core/measure/present.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { Manifest } from '../../core/output/manifest.ts';
import { panelsStillGood } from '../../core/output/older-outputs.ts';
import { isBeforeArtwork, type SheetKind } from '../../core/output/sheet-kind.ts';
import type { Archive } from '../archive/port.ts';
import { readJobFile, writeJobFile } from '../job/job-file.ts';
import { checkJob } from '../services/check-job.ts';
import { keepArtwork } from '../services/keep-artwork.ts';
import { type JobFileOptions, openJobFile, openJobWithArtwork } from '../services/open-job-file.ts';
import { outputsInUse } from '../services/outputs-in-use.ts';
import { saveJobFromFile } from '../services/save-job.ts';
import type { ActParts } from '../services/service-parts.ts';
import { writeOutput } from '../services/write-output.ts';
import { writeSheets } from '../services/write-sheets.ts';
import type { OutputBlocked } from '../tasks/job-output.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import { findingGroupLines, findingLines } from './finding-lines.ts';
import { printable, verificationLines } from './terminal.ts';

export const checkCommand =
  (path: string, options: JobFileOptions & { readonly all: boolean }) =>
  async ({ terminal, tools, withArchive }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async (parts) => {
      // A job can be checked before it has artwork: that, too, is a finding.
      const opened = await openJobFile(parts, path, options, tools);
      if (!opened.ok) return opened;
      const { job: asked, artwork } = opened.value;
      const checked = await checkJob(parts, asked, artwork, tools);
      if (!checked.ok) return checked;
      const { findings, blocking } = checked.value;
      // The key is what an acknowledgement in the job file names.
      const keyed = findings.map((finding) => ({ key: findingKey(finding), ...finding }));
      terminal.printResult({ findings: keyed, blocking: blocking.length }, [
        ...(options.all ? findingLines(findings) : findingGroupLines(asked, jobLayout(asked), findings)),
        blocking.length === 0
          ? 'Nothing keeps the panels from being written.'
          : `${blocking.length} of these ${blocking.length === 1 ? 'keeps' : 'keep'} the panels from being written.`,
      ]);
      return resultOk(blocking.length === 0 ? 'done' : 'blocked');
    });

interface SaveOptions extends JobFileOptions {
  /** Keeps the file's job beside the one that the archive has, under this number. */
  readonly as?: string;
  /** Puts it in the place of what a window has saved. */
  readonly replace: boolean;
}

export const saveCommand =
  (path: string, options: SaveOptions) =>
  async ({ terminal, tools, now, withArchive }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async (parts) => {
      const opened = await openJobFile(parts, path, options, tools);
      if (!opened.ok) return opened;
      const { artwork } = opened.value;
      const job =
        options.as === undefined
          ? opened.value.job
          : { ...jobWithId(opened.value.job, randomUUID()), number: options.as };
      if (artwork) {
        const kept = await keepArtwork(
          parts.archive,
          artwork,
          present(job.artwork, 'The artwork of a job').sha256,
          tools,
        );
        if (!kept.ok) return kept;
      }
      const saved = await saveJobFromFile(parts.archive, job, now(), options.replace ? 'replace' : 'keep');
      if (!saved.ok) return saved;
      if (options.as !== undefined) {
        // From now on the file is that other job.
        const written = await writeJobFile(path, job);
        if (!written.ok) return written;
      }
      terminal.printResult(saved.value, [`Job ${printable(job.number)} is in the archive.`]);
      return resultOk('done');
    });

interface CutOptions extends JobFileOptions {
  readonly to: string;
  readonly panels?: readonly string[];
  /** Only those that no earlier output is good for. */
  readonly changed: boolean;
  /** Instead of what the job says. */
  readonly files?: 'panels' | 'strips';
  readonly cutContours?: boolean;
  readonly sheets: readonly SheetKind[];
  readonly archive: boolean;
  readonly verification: boolean;
}

export const cutCommand =
  (path: string, options: CutOptions) =>
  async (context: CommandContext): Promise<Result<CommandOutcome>> =>
    options.archive
      ? await context.withArchive((parts) => cutAndKeep(path, options, context, parts))
      : await cutAndKeep(path, options, context, { ...context, archive: undefined });

async function cutAndKeep(
  path: string,
  options: CutOptions,
  { terminal, tools }: CommandContext,
  { archive, work, now }: Pick<ActParts, 'work' | 'now'> & { readonly archive: Archive | undefined },
): Promise<Result<CommandOutcome>> {
  const { to, files, cutContours, sheets } = options;
  const opened = await openJobWithArtwork({ archive, work }, path, options, tools);
  if (!opened.ok) return opened;
  const { job } = opened.value;
  const panelIds = options.changed
    ? await changedPanels(job, options, archive)
    : chosenPanels(job, options.panels);
  if (!panelIds.ok) return panelIds;
  if (panelIds.value?.length === 0) {
    terminal.printResult({ panels: [] }, [
      `Every panel of job ${printable(job.number)} is still good as it was written; nothing was written. See them with: panelwright history ${printable(job.number)}`,
    ]);
    return resultOk('done');
  }
  const order = {
    ...opened.value,
    to,
    sheets,
    files,
    cutContours,
    panelIds: panelIds.value,
    isVerified: options.verification,
    isJobSaved: true,
  };
  const written = await writeOutput({ archive, work, now }, order, tools);
  if (!written.ok) {
    if (written.problem.code !== 'output-blocked') return written;
    const { findings, message } = written.problem as OutputBlocked;
    terminal.printResult({ problem: written.problem }, [
      ...findingGroupLines(job, jobLayout(job), findings),
      message,
    ]);
    return resultOk('blocked');
  }
  const { folder, kept, manifest, findings, remarks, verification } = written.value;
  terminal.printResult({ folder, output: kept?.number, manifest, findings, remarks, verification }, [
    ...findingGroupLines(
      job,
      jobLayout(job),
      findings.filter(({ severity }) => severity === 'warn'),
    ),
    ...remarks.map(printable),
    `${countedFiles(manifest)} of job ${printable(job.number)} written to ${folder}${kept ? `, kept as Output ${kept.number}` : ''}.`,
    ...verificationLines(verification),
  ]);
  return resultOk(verification.state === 'failed' ? 'blocked' : 'done');
}

function countedFiles({ panels, strips }: Manifest): string {
  const counted = (count: number, one: string) => `${count} ${one}${count === 1 ? '' : 's'}`;
  return strips
    ? `${counted(panels.length, 'panel')} and ${counted(strips.length, 'strip')} to print`
    : `${panels.length} panels`;
}

interface SheetsOptions extends JobFileOptions {
  readonly to: string;
  readonly sheets: readonly SheetKind[];
  readonly seamsOff?: string;
}

export const sheetsCommand =
  (path: string, options: SheetsOptions) =>
  async ({ terminal, tools, withArchive }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async (parts) => {
      // The check-in sheet is printed before there is artwork.
      const opened = options.sheets.every(isBeforeArtwork)
        ? await jobWithoutArtwork(path)
        : await openJobFile(parts, path, options, tools);
      if (!opened.ok) return opened;
      const { artwork } = opened.value;
      const job = jobWithSeamsOff(opened.value.job, options.seamsOff);
      if (!job.ok) return job;
      const order = { job: job.value, artwork, kinds: options.sheets, to: options.to };
      const written = await writeSheets(parts, order, tools);
      if (!written.ok) return written;
      const { files, remarks } = written.value;
      terminal.printResult({ files, remarks }, [...remarks, ...files.map((file) => `Written: ${file}`)]);
      return resultOk('done');
    });

/** For the sheet of seams: how far panels are off, instead of what the job says. */
function jobWithSeamsOff(job: Job, text: string | undefined): Result<Job> {
  if (text === undefined) return resultOk(job);
  const range = { leastMm: -MOST_SEAM_OFF_MM, greatestMm: MOST_SEAM_OFF_MM };
  const lengths: number[] = [];
  for (const each of text.split(',')) {
    const length = lengthFromText(each, job.displayUnit, range);
    if (!length.ok) return length;
    lengths.push(length.value);
  }
  const [apartMm = 0, alongMm = 0] = lengths;
  return resultOk({ ...job, sheets: { ...job.sheets, seams: { apartMm, alongMm } } });
}

async function jobWithoutArtwork(path: string) {
  const read = await readJobFile(path);
  return read.ok ? resultOk({ job: read.value, artwork: undefined }) : read;
}

/** Those that would come out otherwise than in the output that has them. */
async function changedPanels(
  job: Job,
  { panels: labels }: Pick<CutOptions, 'panels'>,
  archive: Archive | undefined,
): Promise<Result<string[]>> {
  if (labels || !archive) {
    return resultProblem({
      code: 'changed-of-what',
      message: labels
        ? '--changed and --panels both say which panels are written.'
        : '--changed goes by the outputs in the archive, and --no-archive leaves it alone.',
      remedy: 'Give one of the two.',
    });
  }
  const panels = jobLayout(job).flatMap((layout) => layout.panels);
  const good = panelsStillGood(job, panels, await outputsInUse(archive, job.id));
  return resultOk(panels.flatMap(({ id }) => (good.has(id) ? [] : [id])));
}

function chosenPanels(job: Job, labels: readonly string[] | undefined): Result<string[] | undefined> {
  if (!labels) return resultOk(undefined);
  const panels = jobLayout(job).flatMap((layout) => layout.panels);
  const byLabel = new Map(panels.map(({ label, id }) => [label, id]));
  const unknown = labels.find((label) => !byLabel.has(label));
  if (unknown !== undefined) {
    return resultProblem({
      code: 'panel-label-unknown',
      message: `The job has no panel ${unknown}.`,
      remedy: `Select from: ${[...byLabel.keys()].join(', ')}.`,
    });
  }
  return resultOk(labels.map((label) => valueAt(byLabel, label)));
}
