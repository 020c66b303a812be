/** Maps each verb of the contract to its function. Code here concerns only the screens: tokens, locks, pictures. */
import { randomUUID } from 'node:crypto';
import { basename, join } from 'node:path';
import type { OutputSummary } from '../../core/contract/output-summary.ts';
import { jobWithId } from '../../core/job/job-copy.ts';
import type { Job } from '../../core/job/schema.ts';
import { rectFromStored, storedFromRect } from '../../core/job/stored-rect.ts';
import { present } from '../../core/measure/present.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { PATCH_SHEETS } from '../../core/output/sheet-kind.ts';
import { type ArchivedOutput, tryArchive } from '../archive/port.ts';
import type { Handlers } from '../contract/handlers.ts';
import { PROGRAM_VERSION } from '../files/program.ts';
import type { ArtworkAt } from '../tasks/kept-artwork.ts';
import { backUpInto, checkArchive } from './archive-care.ts';
import { keepArchiveSetting, readArchiveSetting } from './archive-setting.ts';
import { artworkInVault, artworkOfJob } from './artwork-in-vault.ts';
import { compareKeptArtworks } from './compare-artworks.ts';
import { cleanVault, deleteJobs, findUnusedFiles, previewDeletion } from './delete-jobs.ts';
import { addDemoJob } from './demo-job.ts';
import { doctorLines } from './doctor.ts';
import { enterPrinted, planPrinted } from './enter-printed.ts';
import { fillWaiting } from './fill-waiting.ts';
import { importArtworks } from './import-artwork.ts';
import { keepActuals, readReports, saveReports } from './job-actuals.ts';
import { exportBundle, importBundle } from './job-bundle.ts';
import { jobNews, openElsewhere, takeJob } from './job-holder.ts';
import { keepInstalled } from './keep-installed.ts';
import { keepRecord } from './keep-record.ts';
import { measureInk } from './measure-ink.ts';
import { correctRoll, scrapFilm, undoMovement } from './move-film.ts';
import { offerRolls } from './offer-rolls.ts';
import { outputsInUse } from './outputs-in-use.ts';
import { addPhoto, keepNote } from './panel-notes.ts';
import { panelsToReprint } from './panels-to-reprint.ts';
import { patchPanel, planPatch } from './patch-panel.ts';
import { keepPhoto, readPhoto } from './photos.ts';
import { previewSheet } from './preview-sheet.ts';
import { moveInWeek, readWeek } from './read-week.ts';
import { changeRoll, receiveRoll } from './receive-roll.ts';
import { reprintPanels } from './reprint-panels.ts';
import { saveJob } from './save-job.ts';
import { ROLL_LABELS_NAME, saveRollLabels } from './save-roll-labels.ts';
import { saveSheet } from './save-sheet.ts';
import { saveTicketAgain } from './save-ticket-again.ts';
import { scannedJob } from './scanned-job.ts';
import type { ServiceParts } from './service-parts.ts';
import { jobsByFilm, rollPlanName, shareRolls, writeRollPlan } from './share-rolls.ts';
import { storedJob, storedJobs } from './stored-job.ts';
import { suggestLayouts } from './suggest-layouts.ts';
import { verificationPicture } from './verification-picture.ts';
import { verifyOutput } from './verify-output.ts';
import { writeDesignerFindings } from './write-designer-findings.ts';
import { writeGuide } from './write-guide.ts';
import { writeOutput } from './write-output.ts';

/** As many as a person can scan at a glance. */
const MOST_RECENT = 8;

export function serviceHandlers(parts: ServiceParts): Handlers {
  const { archive, chosen, dialogs, pictures, planning, previews, work, now } = parts;
  const passwordOf = (sha256: string) => pictures.password(sha256);
  const chosenPhoto = (token: string, clientId: string) => {
    const path = chosen.path(token, 'file', clientId);
    return path.ok
      ? resultOk({ path: path.value, fileName: chosen.name(token) ?? basename(path.value) })
      : path;
  };
  const deleting = { archive, now, forget: async (sha256: string) => await previews.forget(sha256) };

  return {
    'app:info': async () =>
      resultOk({
        version: PROGRAM_VERSION,
        archiveFolder: archive.folder,
        host: parts.host,
        today: now().slice(0, 10),
      }),

    'app:doctor': async () =>
      resultOk(await doctorLines({ archive, now, logFolder: parts.logFolder, queue: parts.queue })),
    'archive:setting': async () => resultOk(readArchiveSetting(parts.place, parts.placeFile)),
    'archive:select': async ({ address, folder }, { clientId }) => {
      // A page in a browser names no folders of this machine.
      if (parts.host === 'browser') return resultProblem(selectedAtStart);
      const path = folder === null ? undefined : chosen.path(folder, 'folder', clientId);
      if (path && !path.ok) return path;
      const setting = { address: address ?? undefined, folder: path?.value };
      const kept = await keepArchiveSetting(setting, parts.placeFile);
      return kept.ok ? resultOk(readArchiveSetting(parts.place, parts.placeFile)) : kept;
    },
    'queue:state': async () => {
      const open = await parts.queue?.open();
      if (!open) return resultOk(null);
      const { queueState } = await import('../queue/queue-state.ts');
      return resultOk(await queueState(open.queue).catch(() => null));
    },
    'queue:cancel': async ({ id }) => {
      const open = await parts.queue?.open();
      return resultOk({ isCanceled: (await open?.queue.cancel(id).catch(() => false)) ?? false });
    },
    'watch:state': async () => resultOk(parts.watching.state),
    'watch:set': async ({ folder }, { clientId }) => {
      if (folder === null) return resultOk(await parts.watching.set(undefined));
      const path = chosen.path(folder, 'folder', clientId);
      return path.ok ? resultOk(await parts.watching.set(path.value)) : path;
    },

    'job:list': async (filter) => resultOk(await archive.jobs.page(filter)),
    'job:recent': async () => resultOk(await archive.jobs.recent(MOST_RECENT)),
    'job:open': async ({ id, takeOver }, { clientId }) => {
      const opened = await storedJob(archive, id);
      if (!opened.ok) return opened;
      if (archive.isReadOnly) return resultOk({ ...opened.value, lockedBy: 'read-only-archive' });
      await tryArchive(async () => resultOk(await archive.jobs.noteOpened(id, now())));
      const holder = await takeJob(archive, id, clientId, now(), takeOver);
      return resultOk({ ...opened.value, ...(holder && { lockedBy: 'another-window', holder }) });
    },
    'job:save': async ({ job, baseRevision }, { clientId }) => {
      const holder = await takeJob(archive, job.id, clientId, now());
      if (holder) return resultProblem(openElsewhere(job, holder));
      const saved = await saveJob(archive, job, now(), baseRevision);
      if (!saved.ok) return saved;
      return resultOk({ revision: saved.value.revision });
    },
    'job:close': async ({ id }, { clientId }) => {
      await archive.openJobs.release(id, clientId);
      return resultOk({});
    },
    'job:read': async ({ id }) => await storedJob(archive, id),
    'job:news': async ({ id }, { clientId }) => await jobNews(archive, id, clientId),
    'job:ask': async ({ id }) => {
      await archive.openJobs.ask(id);
      return resultOk({});
    },
    'archive:changes': async () => resultOk({ count: parts.changes() }),
    'job:archive': async ({ id, isArchived }) =>
      await archive.jobs.archive(id, isArchived ? now() : undefined),
    'job:installed': async ({ id, on }) => await keepInstalled(parts, id, on ?? undefined),
    'job:duplicate': async ({ id, number }) => {
      const source = await storedJob(archive, id);
      if (!source.ok) return source;
      // Acknowledgements and signatures belong to the other job.
      const { approval: _, proofRevision: __, ...rest } = jobWithId(source.value.job, randomUUID());
      const copy: Job = { ...rest, number, acknowledgements: [] };
      return await saveJob(archive, copy, now(), 0);
    },
    'job:deletion': async ({ ids }) => await previewDeletion(archive, ids),
    'job:delete': async ({ ids }, { clientId }) => {
      for (const id of ids) {
        const holder = await archive.openJobs.holder(id, clientId);
        if (!holder || holder.isHere) continue;
        const stored = await storedJob(archive, id);
        return stored.ok ? resultProblem(openElsewhere(stored.value.job, holder)) : stored;
      }
      return await deleteJobs(deleting, ids);
    },
    'job:demo': async () => await addDemoJob(parts),
    'job:export': async ({ id, folder }, context) => {
      const target = chosen.path(folder, 'folder', context.clientId);
      return target.ok ? await exportBundle(archive, id, target.value, context) : target;
    },
    'job:import': async ({ file, choice }, context) => {
      const path = chosen.path(file, 'file', context.clientId);
      if (!path.ok) return path;
      const isOpen = async (jobId: string) =>
        (await archive.openJobs.holder(jobId, context.clientId))?.isHere === false;
      return await importBundle(archive, path.value, choice, { ...context, now: now(), isOpen });
    },
    'job:thumbnail': async ({ id }, { signal }) => {
      const opened = await storedJob(archive, id);
      return opened.ok ? resultOk(await pictures.thumbnail(opened.value.job, signal)) : opened;
    },

    'note:list': async ({ jobId }) => resultOk(await archive.notes.list(jobId)),
    'note:keep': async ({ jobId, ...note }) => await keepNote(parts, jobId, note),
    'note:add-photo': async ({ noteId, file }, { clientId }) => {
      const photo = chosenPhoto(file, clientId);
      return photo.ok ? await addPhoto(archive, noteId, photo.value) : photo;
    },
    'note:remove': async ({ noteId }) => {
      await archive.notes.remove(noteId);
      return resultOk({});
    },
    'photo:keep': async ({ file }, { clientId }) => {
      const photo = chosenPhoto(file, clientId);
      return photo.ok ? await keepPhoto(archive, photo.value) : photo;
    },
    'photo:read': async ({ sha256 }) => await readPhoto(archive, sha256),

    'actuals:find': async ({ jobId }) => resultOk((await archive.actuals.find(jobId)) ?? null),
    'actuals:keep': async ({ jobId, actuals }, context) => await keepActuals(parts, jobId, actuals, context),
    'actuals:remove': async ({ jobId }) => {
      await archive.actuals.remove(jobId);
      return resultOk({});
    },
    'reports:read': async () => resultOk(await readReports(archive)),
    'reports:save': async ({ folder }, { clientId }) => {
      const target = chosen.path(folder, 'folder', clientId);
      if (!target.ok) return target;
      const saved = await saveReports(await readReports(archive), target.value);
      return saved.ok ? resultOk({ fileNames: [...saved.value] }) : saved;
    },
    'job:scanned': async ({ text }) => {
      const id = await scannedJob(archive, text);
      return resultOk(id === undefined ? null : { id });
    },

    'week:read': async (request, context) => await readWeek(parts, request, context, passwordOf),
    'week:move': async (move, { clientId }) => {
      const stored = await storedJob(archive, move.jobId);
      if (!stored.ok) return stored;
      const holder = await archive.openJobs.holder(move.jobId, clientId);
      if (holder && !holder.isHere) return resultProblem(openElsewhere(stored.value.job, holder));
      const moved = await moveInWeek(parts, move);
      return moved.ok ? resultOk({}) : moved;
    },

    'archive:check': async (_request, context) => await checkArchive(archive, context),
    'archive:back-up': async ({ folder }, context) => {
      const target = chosen.path(folder, 'folder', context.clientId);
      return target.ok ? await backUpInto(archive, target.value, now().slice(0, 10), context) : target;
    },

    'archive:unused': async () => resultOk(await findUnusedFiles(deleting)),
    'archive:clean': async () => resultOk(await cleanVault(deleting)),

    'shop:list': async () => resultOk(await archive.shelf.items()),
    'shop:keep': async ({ item, baseRevision }) => {
      const kept = await archive.shelf.keep(item, now(), baseRevision);
      return kept.ok ? resultOk(await archive.shelf.items()) : kept;
    },
    'shop:remove': async ({ kind, id }) => {
      await archive.shelf.remove(kind, id);
      return resultOk(await archive.shelf.items());
    },

    'stock:list': async () => resultOk(await archive.stock.rolls()),
    'stock:ledger': async ({ roll }) => {
      const found = await archive.stock.find(roll);
      if (!found.ok) return found;
      return resultOk({ roll: found.value, movements: await archive.stock.ledger(found.value.id) });
    },
    'stock:receive': async (request) => await receiveRoll(parts, request),
    'stock:change': async (request) => await changeRoll(parts, request),
    'stock:correct': async (request) => await correctRoll(parts, request),
    'stock:scrap': async (request) => await scrapFilm(parts, request),
    'stock:undo': async (request) => await undoMovement(parts, request),
    'stock:labels': async ({ folder, ...order }, context) => {
      const target = chosen.path(folder, 'folder', context.clientId);
      if (!target.ok) return target;
      const path = join(target.value, ROLL_LABELS_NAME);
      const saved = await saveRollLabels(parts, { ...order, path }, context);
      return saved.ok ? resultOk({ fileName: ROLL_LABELS_NAME }) : saved;
    },
    'fill:waiting': async (request, context) => await fillWaiting(parts, request, context),
    'stock:offers': async (request, context) => await offerRolls(parts, request, context),
    'stock:plan-printed': async ({ outputId }, context) => await planPrinted(parts, outputId, context),
    'stock:printed': async (request) => {
      const entered = await enterPrinted(parts, request);
      return entered.ok ? resultOk(outputSummary(entered.value)) : entered;
    },

    'file:choose': async ({ purpose }, { clientId }) => {
      const paths = await dialogs.chooseFiles(purpose, clientId);
      return resultOk(paths.map((path) => chosen.add(path, 'file', clientId)));
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

    'artwork:import': async ({ file, others = [], password, box }, context) => {
      const at = (token: string): Result<ArtworkAt> => {
        const path = chosen.path(token, 'file', context.clientId);
        if (!path.ok) return path;
        const fileName = chosen.name(token) ?? basename(path.value);
        return resultOk({ path: path.value, fileName, box, ...(password !== undefined && { password }) });
      };
      const first = at(file);
      if (!first.ok) return first;
      const more: ArtworkAt[] = [];
      for (const token of others) {
        const other = at(token);
        if (!other.ok) return other;
        more.push(other.value);
      }
      return await importArtworks(parts, [first.value, ...more], context);
    },
    'artwork:facts': async ({ reference, isBrief = false, password }, context) => {
      const artwork = await artworkInVault(archive, reference, password ?? passwordOf(reference.sha256));
      if (!artwork.ok) return artwork;
      if (password !== undefined) {
        const unlocked = await pictures.unlock(reference, password, context.signal);
        if (!unlocked.ok) return unlocked;
      }
      if (isBrief) return await pictures.pages(reference, context.signal);
      return await work.run('artworkFacts', { ...artwork.value, archiveFolder: archive.folder }, context);
    },
    'artwork:outlines': async ({ reference, page, layer }, context) => {
      const artwork = await artworkInVault(archive, reference, passwordOf(reference.sha256));
      if (!artwork.ok) return artwork;
      const wanted = { ...artwork.value, page, ...(layer !== undefined && { layer }) };
      return await work.run('outlines', wanted, context);
    },
    'artwork:picture': async ({ reference, page, window, widthPx }, context) => {
      const artwork = await artworkInVault(archive, reference, undefined);
      if (!artwork.ok) return artwork;
      return await pictures.areaPicture(reference, { page, window, widthPx }, context.signal);
    },

    'artwork:compare': async (request, context) =>
      await compareKeptArtworks(parts, request, passwordOf, context),
    'artwork:comparisons': async ({ jobId }) => resultOk(await archive.comparisons.list(jobId)),
    'artwork:decline': async ({ jobId, sha256 }) => {
      await archive.comparisons.remove(jobId, sha256);
      return resultOk({});
    },

    'layout:suggest': async (request, context) => {
      const artwork = await artworkOfJob(parts, request.job);
      const known = artwork.ok && { artwork: artwork.value };
      return await suggestLayouts(parts, { ...request, ...known }, context);
    },
    'production:derive': async ({ job, measured }, context) =>
      await planning.run(
        'production',
        { job, archiveFolder: archive.folder, ...(measured && { measured }) },
        context,
      ),
    'ink:measure': async ({ job }, context) => {
      const artwork = await artworkOfJob(parts, job);
      return artwork.ok ? await measureInk(parts, job, artwork.value, context) : artwork;
    },
    'rolls:films': async ({ jobIds }) => {
      const jobs = await storedJobs(archive, jobIds);
      return jobs.ok ? resultOk(jobsByFilm(jobs.value)) : jobs;
    },
    'rolls:share': async ({ jobIds, ...request }, context) => {
      const jobs = await storedJobs(archive, jobIds);
      return jobs.ok ? await shareRolls(parts, { jobs: jobs.value, ...request }, context) : jobs;
    },
    'rolls:write': async ({ jobIds, folder, ...request }, context) => {
      const target = chosen.path(folder, 'folder', context.clientId);
      if (!target.ok) return target;
      const jobs = await storedJobs(archive, jobIds);
      if (!jobs.ok) return jobs;
      const fileName = rollPlanName(jobs.value, request.films);
      const path = join(target.value, fileName);
      const written = await writeRollPlan(parts, { jobs: jobs.value, ...request }, path, context);
      return written.ok ? resultOk({ fileName }) : written;
    },

    'output:write': async ({ jobId, folder, panelIds, sheets, isVerified = true }, context) => {
      const target = chosen.path(folder, 'folder', context.clientId);
      if (!target.ok) return target;
      const stored = await storedJob(archive, jobId);
      if (!stored.ok) return stored;
      const { job } = stored.value;
      const artwork = await artworkOfJob(parts, job);
      if (!artwork.ok) return artwork;
      const order = { job, artwork: artwork.value, panelIds, sheets, isVerified };
      const written = await writeOutput(parts, { ...order, to: target.value }, context);
      if (!written.ok) return written;
      const { kept, remarks } = written.value;
      return resultOk({
        output: outputSummary(present(kept, 'The output that was written')),
        remarks: [...remarks],
      });
    },
    'output:panels': async ({ jobId }) => resultOk(await outputsInUse(archive, jobId)),
    'output:list': async ({ jobId }) => resultOk((await archive.outputs.list(jobId)).map(outputSummary)),
    'output:verification': async ({ outputId }) => {
      const output = await archive.outputs.find(outputId);
      if (!output.ok) return output;
      return resultOk((await archive.outputs.verificationReport(outputId)) ?? null);
    },
    'output:verify': async ({ outputId }, context) => {
      const verified = await verifyOutput(parts, outputId, passwordOf, context);
      if (!verified.ok) return verified;
      const { verification, remarks } = verified.value;
      return resultOk({ verification, remarks: [...remarks] });
    },
    'output:difference': async ({ outputId, panelLabel }) =>
      await verificationPicture(archive, outputId, panelLabel),
    'output:record': async ({ outputId, record }) => {
      const output = await archive.outputs.find(outputId);
      if (!output.ok) return output;
      const kept = await keepRecord(archive, output.value, record);
      return kept.ok ? resultOk(outputSummary(kept.value)) : kept;
    },
    'output:ticket': async ({ outputId, folder }, context) => {
      const target = chosen.path(folder, 'folder', context.clientId);
      if (!target.ok) return target;
      const saved = await saveTicketAgain(parts, { outputId, to: target.value }, passwordOf, context);
      if (!saved.ok) return saved;
      return resultOk({ fileName: saved.value.fileName, remarks: [...saved.value.remarks] });
    },
    'reprint:panels': async ({ outputId, labels }, context) =>
      await panelsToReprint(parts, outputId, labels, context),
    'output:reprint': async ({ folder, ...order }, context) => {
      const target = chosen.path(folder, 'folder', context.clientId);
      if (!target.ok) return target;
      const reprint = await reprintPanels(parts, { ...order, to: target.value }, passwordOf, context);
      if (!reprint.ok) return reprint;
      const { kept, differences, remarks } = reprint.value;
      return resultOk({
        output: outputSummary(kept),
        differences: [...differences],
        remarks: [...remarks],
      });
    },
    'patch:plan': async ({ damage, ...order }, context) => {
      const request = { ...order, damage: rectFromStored<'finished'>(damage) };
      const planned = await planPatch(parts, request, passwordOf, context);
      if (!planned.ok) return planned;
      const { label, net, film, patch } = planned.value;
      return resultOk({
        label,
        finishedBox: storedFromRect(net),
        filmBox: storedFromRect(film),
        ends: patch.ends,
        isDamageBeyond: patch.isDamageBeyond,
        cutCount: patch.cut.length,
      });
    },
    'output:patch': async ({ folder, damage, ...order }, context) => {
      const target = chosen.path(folder, 'folder', context.clientId);
      if (!target.ok) return target;
      const request = {
        ...order,
        damage: rectFromStored<'finished'>(damage),
        to: target.value,
        sheets: PATCH_SHEETS,
      };
      const written = await patchPanel(parts, request, passwordOf, context);
      if (!written.ok) return written;
      return resultOk({ output: outputSummary(written.value.kept), remarks: [...written.value.remarks] });
    },
    'output:picture': async ({ outputId, name, page, widthPx }, { signal }) => {
      const output = await archive.outputs.find(outputId);
      if (!output.ok) return output;
      const file = output.value.files.find((candidate) => candidate.name === name);
      if (!file || !name.endsWith('.pdf')) return resultOk(null);
      if ((await archive.vault.state(file.sha256)) !== 'sound') return resultOk(null);
      return resultOk(await pictures.vaultPage(file.sha256, page, widthPx, signal));
    },
    'panel:picture': async (request, context) => {
      const artwork = await artworkOfJob(parts, request.job);
      if (!artwork.ok) return artwork;
      const at = { work, artwork: artwork.value, archiveFolder: archive.folder };
      return await parts.panels.picture(at, request, context);
    },
    'guide:write': async ({ folder, job, scale, isFilePerSide, hasSvg }, context) => {
      const target = chosen.path(folder, 'folder', context.clientId);
      if (!target.ok) return target;
      const order = { job, isFilePerSide, hasSvg, ...(scale !== undefined && { scale }) };
      const written = await writeGuide(parts, { ...order, to: target.value }, context);
      if (!written.ok) return written;
      const { files, remarks, ...rest } = written.value;
      return resultOk({ ...rest, fileNames: files.map((file) => basename(file)), remarks: [...remarks] });
    },
    'findings:write': async ({ folder, job }, context) => {
      const target = chosen.path(folder, 'folder', context.clientId);
      if (!target.ok) return target;
      const artwork = await artworkOfJob(parts, job);
      if (!artwork.ok) return artwork;
      const order = { job, artwork: artwork.value, to: target.value };
      const written = await writeDesignerFindings(parts, order, context);
      if (!written.ok) return written;
      const { files, remarks, ...rest } = written.value;
      return resultOk({ ...rest, fileNames: files.map((file) => basename(file)), remarks: [...remarks] });
    },
    'sheet:preview': async (request, context) => await previewSheet(parts, request, context),
    'sheet:save': async ({ folder, ...sheet }, context) => {
      const target = chosen.path(folder, 'folder', context.clientId);
      return target.ok ? await saveSheet(parts, { ...sheet, to: target.value }, context) : target;
    },
  };
}

const selectedAtStart = {
  code: 'archive-selected-at-start',
  message: 'In a browser, the archive is selected where the program is started.',
  remedy: 'Start it with --archive, and for a shared one with --vault.',
};

/** What an output was made from stays in the archive. */
const outputSummary = ({
  jobId: _,
  document: __,
  artworkSha256: ___,
  ...summary
}: ArchivedOutput): OutputSummary => summary;
