/** Checks what the program needs on this machine: one line per item. */
import { constants } from 'node:fs';
import { access, rm, statfs, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import type { DoctorLine } from '../../core/contract/verbs-machine.ts';
import { fontLibraryFromFiles } from '../../core/drawing/font-library.ts';
import { itemAt } from '../../core/measure/present.ts';
import type { Archive } from '../archive/port.ts';
import { pastTime } from '../files/clock-text.ts';
import { crashesLogged } from '../files/crashes-logged.ts';
import { sheetFontFiles } from '../files/fonts.ts';
import { PROGRAM_VERSION } from '../files/program.ts';
import { makeScratchFolder } from '../files/scratch-folder.ts';
import type { SeatQueue } from '../queue/seat-queue.ts';
import { PictureMaker } from '../render/picture-maker.ts';

export interface DoctorParts {
  /** The archive, or why it cannot be opened. */
  readonly archive: Archive | { readonly message: string; readonly remedy: string };
  readonly logFolder: string;
  /** Of a shared archive. */
  readonly queue?: SeatQueue | undefined;
  readonly now: () => string;
}

export async function doctorLines(parts: DoctorParts): Promise<DoctorLine[]> {
  const { archive } = parts;
  const folders = new Set([...('jobs' in archive ? [existingFolder(archive.folder)] : []), tmpdir()]);
  return [
    right(
      'Versions',
      `Panelwright ${PROGRAM_VERSION}, Node.js ${process.versions.node}${process.versions.electron ? `, Electron ${process.versions.electron}` : ''}, ${process.platform} ${process.arch}.`,
    ),
    ...('jobs' in archive
      ? await archiveLines(archive)
      : [wrong('Database', archive.message, archive.remedy)]),
    ...(parts.queue ? [await queueLine(parts.queue)] : []),
    ...(await Promise.all([...folders].map(diskLine))),
    fontLine(),
    await rendererLine(),
    await clockLine(parts),
    logLine(parts),
  ];
}

const right = (what: string, text: string): DoctorLine => ({ what, isRight: true, text });
const wrong = (what: string, text: string, remedy: string): DoctorLine => ({
  what,
  isRight: false,
  text,
  remedy,
});

async function archiveLines(archive: Archive): Promise<DoctorLine[]> {
  const { total } = await archive.jobs.page({ limit: 1, archive: 'all' });
  const jobs = `${total} ${total === 1 ? 'job' : 'jobs'} in ${archive.folder}`;
  const database = archive.isReadOnly
    ? wrong(
        'Database',
        `${jobs}, which may not be written.`,
        'Ask for access to the folder, or start with another archive.',
      )
    : right('Database', `${jobs}.`);
  const { folder } = archive.vault;
  // The first file makes the folder.
  const place = existingFolder(folder);
  const isOpen = await access(await nearestFolder(place), constants.R_OK | constants.W_OK).then(
    () => true,
    () => false,
  );
  const vault = isOpen
    ? right('Vault', `${folder} can be read and written.`)
    : wrong('Vault', `${folder} cannot be read or written.`, 'Ask for access to it, or connect its disk.');
  return [database, vault];
}

/** The place of a shared archive is an address, not a folder on this machine. */
const existingFolder = (folder: string): string => (/^postgres/.test(folder) ? tmpdir() : folder);

/** The folder itself, or the nearest one above it that is there. */
async function nearestFolder(folder: string): Promise<string> {
  const isThere = await access(folder).then(
    () => true,
    () => false,
  );
  return isThere || dirname(folder) === folder ? folder : await nearestFolder(dirname(folder));
}

async function queueLine(seat: SeatQueue): Promise<DoctorLine> {
  const open = await seat.open();
  const unreachable = wrong(
    'Queue',
    'The queue of the shared archive cannot be reached, so this seat does its own work.',
    'Check the server; the log says what it answered.',
  );
  if (!open) return unreachable;
  const { queueSentence, queueState } = await import('../queue/queue-state.ts');
  const state = await queueState(open.queue).catch(() => undefined);
  if (!state) return unreachable;
  const text = queueSentence(state);
  const failed = state.tasks.find((task) => task.state === 'failed');
  return failed
    ? wrong('Queue', text, `${failed.title}: ${failed.notes.at(-1) ?? 'no reason was kept'}.`)
    : right('Queue', text);
}

const GIB = 2 ** 30;
/** A large artwork, its panels and the archive’s copy of both take about this. */
const LEAST_FREE = 2 * GIB;

async function diskLine(folder: string): Promise<DoctorLine> {
  const { bavail, bsize } = await statfs(await nearestFolder(folder));
  const free = bavail * bsize;
  const text = `${(free / GIB).toFixed(1)} GB free for ${folder}.`;
  return free >= LEAST_FREE
    ? right('Disk', text)
    : wrong(
        'Disk',
        text,
        `Free some space: an output of a large artwork takes up to ${LEAST_FREE / GIB} GB.`,
      );
}

function fontLine(): DoctorLine {
  try {
    fontLibraryFromFiles(sheetFontFiles());
    return right('Fonts', 'The typefaces of sheets and marks can be read.');
  } catch (error) {
    return wrong(
      'Fonts',
      `A typeface of the sheets cannot be read: ${messageOf(error)}`,
      'Install the program again.',
    );
  }
}

/** A black square of half an inch in the lower left quarter of a page. */
const TEST_PAGE = `%PDF-1.4
1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj
2 0 obj<</Type/Pages/Kids[3 0 R]/Count 1>>endobj
3 0 obj<</Type/Page/Parent 2 0 R/MediaBox[0 0 72 72]/Contents 4 0 R/Resources<<>>>>endobj
4 0 obj<</Length 16>>stream
0 0 36 36 re f
  endstream endobj
trailer<</Root 1 0 R/Size 5>>
%%EOF
`;

async function rendererLine(): Promise<DoctorLine> {
  const folder = makeScratchFolder('doctor');
  const path = join(folder, 'page.pdf');
  const maker = new PictureMaker(path, { isLent: true });
  try {
    await writeFile(path, TEST_PAGE);
    const whole = { xPt: 0, yPt: 0, widthPt: 72, heightPt: 72 };
    const outcome = await maker.picture(1, whole, 8, {});
    const isDrawn =
      outcome.ok &&
      itemAt(outcome.picture.rgba, 4 * (8 * 6 + 1)) < 64 &&
      itemAt(outcome.picture.rgba, 4 * (8 * 1 + 6)) > 192;
    return isDrawn
      ? right('Renderer', 'A test page was drawn right.')
      : wrong(
          'Renderer',
          `A test page was not drawn right${outcome.ok ? '' : ` (${outcome.failure})`}.`,
          'Start the program again; if it stays so, install it again.',
        );
  } catch (error) {
    return wrong('Renderer', `It cannot be started: ${messageOf(error)}`, 'Install the program again.');
  } finally {
    await maker.close();
    await rm(folder, { recursive: true, force: true });
  }
}

/** A clock that runs behind gives outputs and ledger entries wrong dates. */
async function clockLine({ archive, now }: DoctorParts): Promise<DoctorLine> {
  const at = now();
  const [last] = 'jobs' in archive ? await archive.jobs.list({ limit: 1, archive: 'all' }) : [];
  const zone = Intl.DateTimeFormat().resolvedOptions().timeZone;
  const text = `${pastTime(at)}, ${zone}.`;
  return last && last.updatedAt > at
    ? wrong(
        'Clock',
        `${text} Job ${last.number} was saved at ${pastTime(last.updatedAt)}, which is later.`,
        'Set the clock of this machine, or of the other seat.',
      )
    : right('Clock', text);
}

const CRASH_DAYS = 7;

function logLine({ logFolder, now }: DoctorParts): DoctorLine {
  const crashes = crashesLogged(logFolder, now().slice(0, 10), CRASH_DAYS);
  const last = crashes.at(-1);
  if (last === undefined) return right('Log', `No crash in ${CRASH_DAYS} days; it lies in ${logFolder}.`);
  const counted = crashes.length === 1 ? '1 crash' : `${crashes.length} crashes`;
  return wrong(
    'Log',
    `${counted} in ${CRASH_DAYS} days, the last: ${last.slice(0, 300)}`,
    `Send the log of that day, from ${logFolder}, with what was done before.`,
  );
}

const messageOf = (error: unknown): string => (error instanceof Error ? error.message : String(error));
