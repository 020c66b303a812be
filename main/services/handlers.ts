/** Answers every verb of the contract from the archive, the work thread and the shell's dialogs. */
import { randomUUID } from 'node:crypto';
import { mkdir } from 'node:fs/promises';
import { basename, join } from 'node:path';
import type { ContractReply, ContractRequest } from '../../core/contract/contract.ts';
import type { OutputSummary } from '../../core/contract/verbs-outputs.ts';
import { jobWithId } from '../../core/job/job-copy.ts';
import { jobFromJson } from '../../core/job/job-json.ts';
import type { Job } from '../../core/job/schema.ts';
import { jobLayout } from '../../core/layout/side-layout.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { fileNameStem } from '../../core/output/file-name.ts';
import type { ArchivedOutput } from '../archive/port.ts';
import type { AskContext, Handlers } from '../contract/handlers.ts';
import { filesTried } from '../files/file-problem.ts';
import { PROGRAM_VERSION } from '../files/program.ts';
import { outputKept } from '../tasks/job-output.ts';
import { removeVerification } from '../verify/output-verification.ts';
import { artworkAt, artworkInVault } from './artwork-in-vault.ts';
import { demoJobAdded } from './demo-job.ts';
import { jobSaved, storedJob } from './job-archive.ts';
import { bundleExported, bundleImported } from './job-bundle.ts';
import { panelsReprinted } from './job-reprint.ts';
import {
  outputVerificationReport,
  verificationPicture,
  verifyOutputAgain,
  verifyWrittenOutput,
} from './output-verifications.ts';
import type { ServiceParts } from './service-parts.ts';
import { jobsByFilm, rollsShared, sharedRollsWritten } from './shared-rolls.ts';

export function serviceHandlers(parts: ServiceParts): Handlers {
  const { archive, chosen, dialogs, locks, pictures, planning, work, now } = parts;

  return {
    'app:info': async () =>
      resultOk({
        version: PROGRAM_VERSION,
        archiveFolder: archive.folder,
        host: parts.host,
        today: now().slice(0, 10),
      }),

    'job:list': async (filter) => resultOk(await archive.jobs.list(filter)),
    'job:open': async ({ id, takeOver }, { clientId }) => {
      const opened = await storedJob(archive, id);
      if (!opened.ok) return opened;
      if (takeOver) locks.takeOver(id, clientId);
      const holder = locks.take(id, clientId);
      return resultOk({ ...opened.value, ...(holder !== undefined && { lockedBy: 'another window' }) });
    },
    'job:save': async ({ job, baseRevision }, { clientId }) => {
      if (locks.isHeldByOther(job.id, clientId)) return resultProblem(openElsewhere(job));
      const saved = await jobSaved(archive, job, jobLayout(job), baseRevision, now());
      if (!saved.ok) return saved;
      locks.take(job.id, clientId);
      return resultOk({ revision: saved.value.revision });
    },
    'job:close': async ({ id }, { clientId }) => {
      locks.release(id, clientId);
      return resultOk({});
    },
    'job:duplicate': async ({ id, number }) => {
      const source = await storedJob(archive, id);
      if (!source.ok) return source;
      const copy: Job = { ...jobWithId(source.value.job, randomUUID()), number, acknowledgements: [] };
      return await jobSaved(archive, copy, jobLayout(copy), 0, now());
    },
    'job:demo': async (_request, context) => await demoJobAdded(archive, now(), context),
    'job:export': async ({ id, folder }, { clientId, signal, report }) => {
      const target = chosen.path(folder, 'folder', clientId);
      if (!target.ok) return target;
      return await bundleExported(archive, id, target.value, { signal, report });
    },
    'job:import': async ({ file }, { clientId, signal, report }) => {
      const path = chosen.path(file, 'file', clientId);
      if (!path.ok) return path;
      return await bundleImported(archive, path.value, now(), { signal, report });
    },
    'job:thumbnail': async ({ id }) => {
      const opened = await storedJob(archive, id);
      if (!opened.ok) return opened;
      return resultOk(await pictures.thumbnail(opened.value.job));
    },

    'shop:list': async () => resultOk(await archive.shelf.items()),
    'shop:keep': async ({ item }) => {
      await archive.shelf.keep(item, now());
      return resultOk(await archive.shelf.items());
    },
    'shop:remove': async ({ kind, id }) => {
      await archive.shelf.remove(kind, id);
      return resultOk(await archive.shelf.items());
    },

    'file:choose': async ({ purpose }, { clientId }) => {
      const path = await dialogs.chooseFile(purpose, clientId);
      return resultOk(path === undefined ? null : chosen.add(path, 'file', clientId));
    },
    'folder:choose': async ({ title }, { clientId }) => {
      const path = await dialogs.chooseFolder(title, clientId);
      return resultOk(path === undefined ? null : chosen.add(path, 'folder', clientId));
    },
    'folder:open': async ({ outputId }) => {
      const output = await archive.outputs.find(outputId);
      if (!output.ok) return output;
      await dialogs.showFolder(output.value.folder);
      return resultOk({});
    },

    'artwork:import': async ({ file, password, box }, context) => {
      const path = chosen.path(file, 'file', context.clientId);
      if (!path.ok) return path;
      const fileName = chosen.name(file) ?? basename(path.value);
      const artwork = { path: path.value, fileName, box, ...(password !== undefined && { password }) };
      const firstPage = work.run('artworkFirstPage', artwork, context);
      const reading = work.run('artworkFacts', { ...artwork, isBrief: true }, context);
      pictures.firstPictureBegin(artwork, firstPage, reading);
      const facts = await reading;
      if (!facts.ok) return facts;
      if (password !== undefined) pictures.rememberPassword(facts.value.reference.sha256, password);
      return await filesTried(archive.vault.folder, async () => {
        const kept = await archive.vault.add(path.value);
        if (kept.sha256 !== facts.value.reference.sha256) return resultProblem(changedWhileRead(fileName));
        await pictures.pagesSeen(facts.value);
        return facts;
      });
    },
    'artwork:facts': async ({ reference, isBrief = false, password }, context) => {
      const path = await artworkInVault(archive, reference);
      if (!path.ok) return path;
      if (password !== undefined) {
        const unlocked = await pictures.unlock(reference, password, context.signal);
        if (!unlocked.ok) return unlocked;
      }
      if (isBrief) return await pictures.pages(reference, context.signal);
      return await work.run('artworkFacts', artworkAt(path.value, reference, pictures), context);
    },
    'artwork:picture': async ({ reference, page, window, widthPx }, context) => {
      const path = await artworkInVault(archive, reference);
      if (!path.ok) return path;
      return await pictures.window(reference, { page, window, widthPx }, context.signal);
    },

    'layout:suggest': async (request, context) => {
      const { artwork } = request.job;
      const path = artwork && (await artworkInVault(archive, artwork));
      const at = artwork && path?.ok ? { artwork: artworkAt(path.value, artwork, pictures) } : {};
      return await planning.run('plan', { ...request, ...at }, context);
    },
    'production:derive': async ({ job, measured }, context) =>
      await planning.run('production', { job, ...(measured && { measured }) }, context),
    'rolls:films': async ({ jobIds }) => await jobsByFilm(archive, jobIds),
    'rolls:share': async (request, context) => await rollsShared(parts, request, context),
    'rolls:write': async (request, context) => await sharedRollsWritten(parts, request, context),
    'ink:measure': async ({ job }, context) => {
      if (!job.artwork) return resultProblem(noArtwork);
      const path = await artworkInVault(archive, job.artwork);
      if (!path.ok) return path;
      return await planning.run(
        'coverage',
        { job, artwork: artworkAt(path.value, job.artwork, pictures), archiveFolder: archive.folder },
        context,
      );
    },

    'output:write': async (request, context) => {
      const opened = await storedJob(archive, request.jobId);
      if (!opened.ok) return opened;
      const { job } = opened.value;
      if (!job.artwork) return resultProblem(noArtwork);
      const path = await artworkInVault(archive, job.artwork);
      if (!path.ok) return path;
      const folder = chosen.path(request.folder, 'folder', context.clientId);
      if (!folder.ok) return folder;
      const target = join(folder.value, fileNameStem(job.number));
      return await filesTried(target, async () => {
        await mkdir(folder.value, { recursive: true });
        const written = await work.run(
          'output',
          {
            job,
            artwork: artworkAt(path.value, job.artwork!, pictures),
            folder: target,
            sheets: request.sheets,
            archiveFolder: archive.folder,
            ...(request.panelIds && { panelIds: request.panelIds }),
          },
          context,
        );
        if (!written.ok) return written;
        const how = { kind: 'output', reason: '', at: now() } as const;
        const output = await outputKept(archive, job, path.value, written.value, how);
        if (!output.ok) return output;
        if (request.isVerified === false) {
          await removeVerification(target);
          return resultOk(outputSummary(output.value));
        }
        return resultOk(
          outputSummary(await verifyWrittenOutput(parts, output.value, job, request.panelIds, context)),
        );
      });
    },
    'output:verification': async ({ outputId }) => await outputVerificationReport(archive, outputId),
    'output:verify': async ({ outputId }, context) => await verifyOutputAgain(parts, outputId, context),
    'output:difference': async ({ outputId, panelLabel }) =>
      await verificationPicture(archive, outputId, panelLabel),
    'output:list': async ({ jobId }) => resultOk((await archive.outputs.list(jobId)).map(outputSummary)),
    'output:reprint': async ({ outputId, panelLabels, reason, folder, sheets }, context) => {
      const target = chosen.path(folder, 'folder', context.clientId);
      if (!target.ok) return target;
      const stamp = now()
        .replaceAll(/[^0-9]/g, '')
        .slice(0, 14);
      const request = {
        outputId,
        panelLabels,
        reason,
        sheets,
        now: now(),
        folder: join(target.value, `reprint-${stamp}`),
      };
      const reprint = await panelsReprinted(archive, request, context);
      if (!reprint.ok) return reprint;
      const { output } = reprint.value;
      const job = jobFromJson(output.document);
      const panelIds = output.files.flatMap((file) => file.panelId ?? []);
      return resultOk({
        output: outputSummary(
          job.ok ? await verifyWrittenOutput(parts, output, job.value, panelIds, context) : output,
        ),
        differences: [...reprint.value.differences],
        remarks: [...reprint.value.remarks],
      });
    },
    'output:picture': async ({ outputId, name, page, widthPx }, { signal }) => {
      const output = await archive.outputs.find(outputId);
      if (!output.ok) return output;
      const file = output.value.files.find((candidate) => candidate.name === name);
      if (!file || !name.endsWith('.pdf')) return resultOk(null);
      if ((await archive.vault.state(file.sha256)) !== 'sound') return resultOk(null);
      return resultOk(await pictures.vaultPage(file.sha256, page, widthPx, signal));
    },
    'sheet:preview': async (request, context) => await sheetPreview(parts, request, context),
  };
}

async function sheetPreview(
  { archive, pictures, work }: ServiceParts,
  { job, kind, page, widthPx }: ContractRequest<'sheet:preview'>,
  context: AskContext,
): Promise<Result<ContractReply<'sheet:preview'>>> {
  if (!job.artwork) return resultProblem(noArtwork);
  const path = await artworkInVault(archive, job.artwork);
  if (!path.ok) return path;
  const artwork = artworkAt(path.value, job.artwork, pictures);
  const sheet = await work.run('sheet', { job, artwork, kind, archiveFolder: archive.folder }, context);
  if (!sheet.ok) return sheet;
  const picture = await pictures.pdfPage(
    sheet.value.bytes,
    Math.min(page, sheet.value.pageCount),
    widthPx,
    context.signal,
  );
  return picture
    ? resultOk({ pageCount: sheet.value.pageCount, picture })
    : resultProblem({
        code: 'picture-not-drawable',
        message: 'The sheet could not be drawn for the screen.',
        remedy: 'Write it to a file and open it in a viewer.',
      });
}

/** What an output was made from stays in the archive. */
const outputSummary = ({
  jobId: _,
  document: __,
  artworkSha256: ___,
  ...summary
}: ArchivedOutput): OutputSummary => summary;

const openElsewhere = (job: Job): Problem => ({
  code: 'job-open-elsewhere',
  message: `Job ${job.number} is being edited in another window.`,
  remedy: 'Close it there, or save this one as a copy.',
});

const noArtwork: Problem = {
  code: 'artwork-none',
  message: 'The job has no artwork yet.',
  remedy: 'Import the artwork PDF.',
};

const changedWhileRead = (fileName: string): Problem => ({
  code: 'artwork-changed',
  message: `${fileName} was changed while it was being imported.`,
  remedy: 'Wait until the program that writes it has finished, then import it again.',
});
