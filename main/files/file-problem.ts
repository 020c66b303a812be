import { type Problem, type Result, resultProblem } from '../../core/measure/result.ts';

export type FileProblemCode =
  | 'file-missing'
  | 'file-exists'
  | 'file-not-readable'
  | 'file-changed'
  | 'folder-not-writable'
  | 'disk-full'
  | 'folder-in-use'
  | 'cancelled';
export type FileProblem = Problem<FileProblemCode>;

/**
 * Turns expected errors of the operating system into sentences; undefined for anything that is a bug. `place` is the
 * file or folder in question, for errors that do not name one.
 */
export function fileProblem(error: unknown, place: string): FileProblem | undefined {
  const path = (error as PlacedError | undefined)?.place ?? place;
  if (error instanceof Error && error.name === 'AbortError') return cancelledProblem;
  const code = (error as NodeJS.ErrnoException | undefined)?.code;
  switch (code) {
    case 'ENOENT':
      return {
        code: 'file-missing',
        message: `${path} does not exist.`,
        remedy: 'Check the name and the folder.',
      };
    case 'EISDIR':
      return {
        code: 'file-not-readable',
        message: `${path} is a folder, not a file.`,
        remedy: 'Select a file in it.',
      };
    case 'EACCES':
    case 'EPERM':
    case 'EROFS':
    case 'ENOTDIR':
    case 'EEXIST':
      return {
        code: 'folder-not-writable',
        message: `${path} cannot be read or written (${code}).`,
        remedy: 'Select another folder, or ask for access to this one.',
      };
    case 'ENOSPC':
    case 'EDQUOT':
    case 'EFBIG':
      return {
        code: 'disk-full',
        message: `The disk that holds ${path} is full.`,
        remedy: 'Free some space or select another disk, then try again. Nothing half-written was left.',
      };
    case 'FILE_CHANGED':
      return {
        code: 'file-changed',
        message: (error as Error).message,
        remedy: 'Let whatever writes to it finish, then try again.',
      };
    case 'ENAMETOOLONG':
      return {
        code: 'folder-not-writable',
        message: `The name ${shortened(path)} is longer than this disk takes.`,
        remedy: 'Select a shorter name.',
      };
    case 'EMFILE':
    case 'ENFILE':
      return {
        code: 'file-not-readable',
        message: `${path} cannot be opened: too many files are open on this machine.`,
        remedy: 'Close other programs, then try again.',
      };
    case 'ENOTEMPTY':
    case 'EBUSY':
    case 'ETXTBSY':
      return {
        code: 'folder-in-use',
        message: `${path} is being used by another program (${code}).`,
        remedy: 'Wait until the other one has finished, then try again.',
      };
    case 'EIO':
      return {
        code: 'file-not-readable',
        message: `The disk reported an error at ${path}.`,
        remedy: 'Check the disk, or select another one.',
      };
    default:
      return undefined;
  }
}

const MOST_SHOWN = 80;

const shortened = (path: string): string =>
  path.length <= MOST_SHOWN ? path : `${path.slice(0, MOST_SHOWN - 1)}…`;

export const cancelledProblem: FileProblem = {
  code: 'cancelled',
  message: 'The work was canceled.',
  remedy: 'Start it again when you are ready. Nothing half-written was left.',
};

interface PlacedError {
  place?: string;
}

/** Adds the place of an error, for the problem that a caller makes from it. The innermost place counts. */
export function errorPlaced(error: unknown, place: string): unknown {
  if (error instanceof Error) (error as PlacedError).place ??= place;
  return error;
}

/** Corrects the place of an error in a folder that has been renamed. */
export function errorMoved(error: unknown, from: string, to: string): unknown {
  if (error instanceof Error) {
    const placed = error as PlacedError;
    if (placed.place?.startsWith(from)) placed.place = to;
  }
  return error;
}

/** Runs work on files and turns file errors into a problem that names `place`, or the place in the error. */
export async function tryFiles<T>(place: string, work: () => Promise<Result<T>>): Promise<Result<T>> {
  try {
    return await work();
  } catch (error) {
    const problem = fileProblem(error, place);
    if (problem) return resultProblem(problem);
    throw error;
  }
}
