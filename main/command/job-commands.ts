import { join } from 'node:path';
import { fontLibraryFromFiles } from '../../core/drawing/font-library.ts';
import { findingKey } from '../../core/findings/finding.ts';
import type { PageBox } from '../../core/measure/page-box.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { Manifest } from '../../core/output/manifest.ts';
import type { SheetKind } from '../../core/output/sheet-kind.ts';
import { NOT_VERIFIED, type OutputVerification } from '../../core/verify/output-verification.ts';
import type { Archive } from '../archive/port.ts';
import { artworkScanned } from '../artwork/artwork-file.ts';
import { writeFileAtomically } from '../files/atomic-write.ts';
import { fileProblem } from '../files/file-problem.ts';
import { sheetFontFiles } from '../files/fonts.ts';
import { type JobWithArtwork, jobArtwork, jobFileRead } from '../job/job-file.ts';
import { type JobState, jobState, jobStateMeasured } from '../job/job-state.ts';
import { jobArchived } from '../services/job-archive.ts';
import {
  glyphRemarks,
  jobOutput,
  type OutputBlocked,
  outputKept,
  pictureRemarks,
} from '../tasks/job-output.ts';
import { type DrawnKind, outputSheets } from '../tasks/output-sheets.ts';
import { removeVerification } from '../verify/output-verification.ts';
import {
  archiveVerification,
  outputVerificationFromResult,
  verifyFolder,
} from '../verify/verification-task.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import { findingLines, findingLinesFolded, printable, verificationLines } from './terminal.ts';

export interface JobOptions {
  readonly artwork?: string;
  readonly box: PageBox;
  readonly password?: string;
}

interface OpenedJob extends JobWithArtwork {
  readonly state: JobState;
}

export const jobCheck =
  (path: string, options: JobOptions & { readonly all: boolean }) =>
  async (context: CommandContext): Promise<Result<CommandOutcome>> =>
    await context.withArchive(async (archive) => {
      const job = await jobFileRead(path);
      if (!job.ok) return job;
      // A job can be checked before it has artwork: that, too, is a finding.
      const isArtworkKnown = job.value.artwork !== undefined || options.artwork !== undefined;
      const opened = isArtworkKnown ? await jobOpened(path, options, archive, context) : undefined;
      if (opened && !opened.ok) return opened;
      const state = opened?.value.state ?? jobState(job.value, undefined);
      const { terminal } = context;
      // The key is what an acknowledgement in the job file names.
      const findings = state.findings.map((finding) => ({ key: findingKey(finding), ...finding }));
      terminal.result({ findings, blocking: state.blocking.length }, [
        ...(options.all ? findingLines(state.findings) : findingLinesFolded(state.findings)),
        state.blocking.length === 0
          ? 'Nothing keeps the panels from being written.'
          : `${state.blocking.length} of these ${state.blocking.length === 1 ? 'keeps' : 'keep'} the panels from being written.`,
      ]);
      return resultOk(state.blocking.length === 0 ? 'done' : 'blocked');
    });

export const jobSave =
  (path: string, options: JobOptions) =>
  async (context: CommandContext): Promise<Result<CommandOutcome>> =>
    await context.withArchive(async (archive) => {
      const opened = await jobOpened(path, options, archive);
      if (!opened.ok) return opened;
      const { job, artwork, state } = opened.value;
      const saved = await jobArchived(archive, job, state.layouts, artwork.path, context.now());
      if (!saved.ok) return saved;
      context.terminal.result(saved.value, [`Job ${printable(job.number)} is in the archive.`]);
      return resultOk('done');
    });

interface CutOptions extends JobOptions {
  readonly to: string;
  readonly panels?: readonly string[];
  /** Instead of what the job says. */
  readonly files?: 'panels' | 'strips';
  readonly sheets: readonly SheetKind[];
  readonly archive: boolean;
  readonly verification: boolean;
}

export const jobCut =
  (path: string, options: CutOptions) =>
  async (context: CommandContext): Promise<Result<CommandOutcome>> =>
    options.archive
      ? await context.withArchive((archive) => cutAndKept(path, options, context, archive))
      : await cutAndKept(path, options, context, undefined);

async function cutAndKept(
  path: string,
  options: CutOptions,
  context: CommandContext,
  archive: Archive | undefined,
): Promise<Result<CommandOutcome>> {
  const { terminal, signal, now } = context;
  const opened = await jobOpened(path, options, archive, context);
  if (!opened.ok) return opened;
  const { artwork } = opened.value;
  const state = printedAs(opened.value.state, options.files);
  const { job } = state;
  const panelIds = chosenPanels(state, options.panels);
  if (!panelIds.ok) return panelIds;
  const output = await jobOutput(
    {
      state,
      artwork,
      folder: options.to,
      sheets: options.sheets,
      ...(panelIds.value && { panelIds: panelIds.value }),
    },
    { signal, report: (progress) => terminal.progress(progress) },
  );
  if (!output.ok) {
    if (output.problem.code !== 'output-blocked') return output;
    const { findings, message } = output.problem as OutputBlocked;
    terminal.result({ problem: output.problem }, [...findingLines(findings), message]);
    return resultOk('blocked');
  }
  let outputId: number | undefined;
  if (archive) {
    const saved = await jobArchived(archive, opened.value.job, state.layouts, artwork.path, now());
    if (!saved.ok) return saved;
    const how = { kind: 'output', reason: '', at: now() } as const;
    const kept = await outputKept(archive, job, artwork.path, output.value, how);
    if (!kept.ok) return kept;
    outputId = kept.value.id;
  }
  const verification = await verifyCut(
    options,
    opened.value,
    panelIds.value,
    { terminal, signal },
    archive,
    outputId,
  );
  terminal.result(
    {
      folder: options.to,
      output: outputId,
      manifest: output.value.manifest,
      findings: state.findings,
      remarks: output.value.remarks,
      verification,
    },
    [
      ...findingLines(state.findings.filter(({ severity }) => severity === 'warn')),
      ...output.value.remarks,
      `${countedFiles(output.value.manifest)} of job ${printable(job.number)} written to ${options.to}${outputId === undefined ? '' : `, kept as run ${outputId}`}.`,
      ...verificationLines(verification),
    ],
  );
  return resultOk(verification.state === 'failed' ? 'blocked' : 'done');
}

/** The choice of print files is this output's own: the job keeps what it says. */
function printedAs(state: JobState, files: CutOptions['files']): JobState {
  if (files === undefined || files === (state.job.output.files ?? 'panels')) return state;
  return { ...state, job: { ...state.job, output: { ...state.job.output, files } } };
}

function countedFiles({ panels, strips }: Manifest): string {
  const counted = (count: number, one: string) => `${count} ${one}${count === 1 ? '' : 's'}`;
  return strips
    ? `${counted(panels.length, 'panel')} and ${counted(strips.length, 'strip')} to print`
    : `${panels.length} panels`;
}

/** Verifies what was written, unless told not to, and keeps the outcome with the output. */
async function verifyCut(
  options: CutOptions,
  { job, artwork }: OpenedJob,
  panelIds: ReadonlySet<string> | undefined,
  { terminal, signal }: Pick<CommandContext, 'terminal' | 'signal'>,
  archive: Archive | undefined,
  outputId: number | undefined,
): Promise<OutputVerification> {
  if (!options.verification) {
    await removeVerification(options.to);
    return NOT_VERIFIED;
  }
  const report = await verifyFolder(
    { job, folder: options.to, ...(panelIds && { panelIds: [...panelIds] }) },
    artwork,
    { signal, report: (progress) => terminal.progress(progress) },
  );
  return archive && outputId !== undefined
    ? await archiveVerification(archive, { id: outputId, folder: options.to }, report)
    : outputVerificationFromResult(report);
}

export const jobSheets =
  (path: string, options: JobOptions & { readonly to: string; readonly sheets: readonly SheetKind[] }) =>
  async (context: CommandContext): Promise<Result<CommandOutcome>> =>
    await context.withArchive(async (archive) => {
      const opened = await jobOpened(path, options, archive, context);
      if (!opened.ok) return opened;
      const missing = new Set<string>();
      const fonts = fontLibraryFromFiles(sheetFontFiles(), (character) => missing.add(character));
      const kinds = options.sheets.filter((kind): kind is DrawnKind => kind !== 'table');
      try {
        const { state, artwork } = opened.value;
        const drawn = await outputSheets({ state, artwork, kinds }, fonts, context.signal);
        const files = drawn.sheets.map(({ name }) => join(options.to, name));
        for (const { name, bytes } of drawn.sheets) await writeFileAtomically(join(options.to, name), bytes);
        const remarks = [...pictureRemarks(drawn.sidesWithoutPicture), ...glyphRemarks(missing)];
        context.terminal.result({ files, remarks }, [...remarks, ...files.map((file) => `Written: ${file}`)]);
        return resultOk('done');
      } catch (error) {
        const problem = fileProblem(error, options.to);
        if (problem) return resultProblem(problem);
        throw error;
      }
    });

/** `produced`: with the ink coverage, which takes a while to compute. */
export async function jobOpened(
  path: string,
  options: JobOptions,
  archive: Archive | undefined,
  produced?: Pick<CommandContext, 'terminal' | 'signal'>,
): Promise<Result<OpenedJob>> {
  const job = await jobFileRead(path);
  if (!job.ok) return job;
  const found = await jobArtwork(path, job.value, {
    box: options.box,
    ...(options.artwork !== undefined && { artworkPath: options.artwork }),
    ...(options.password !== undefined && { password: options.password }),
    ...(archive && { archive }),
  });
  if (!found.ok) return found;
  const artwork = await artworkScanned(found.value.artwork);
  const state = produced
    ? await jobStateMeasured(found.value.job, artwork, {
        signal: produced.signal,
        report: (progress) => produced.terminal.progress(progress),
      })
    : resultOk(jobState(found.value.job, artwork));
  return state.ok ? resultOk({ ...found.value, artwork, state: state.value }) : state;
}

function chosenPanels(
  state: JobState,
  labels: readonly string[] | undefined,
): Result<ReadonlySet<string> | undefined> {
  if (!labels) return resultOk(undefined);
  const panels = state.layouts.flatMap((layout) => layout.panels);
  const byLabel = new Map(panels.map((panel) => [panel.label, panel.id]));
  const unknown = labels.find((label) => !byLabel.has(label));
  if (unknown !== undefined) {
    return resultProblem({
      code: 'panel-label-unknown',
      message: `The job has no panel ${unknown}.`,
      remedy: `Choose from: ${[...byLabel.keys()].join(', ')}.`,
    });
  }
  return resultOk(new Set(labels.map((label) => byLabel.get(label)!)));
}
