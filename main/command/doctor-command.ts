import { type Result, resultOk } from '../../core/measure/result.ts';
import { openArchive } from '../archive/archive.ts';
import { isPostgresPlace } from '../archive/archive-folder.ts';
import { tryArchive } from '../archive/port.ts';
import { defaultLogFolder } from '../files/day-log.ts';
import { SeatQueue } from '../queue/seat-queue.ts';
import { doctorLines } from '../services/doctor.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import { printable } from './terminal.ts';

export const doctorCommand =
  () =>
  async ({ terminal, archiveFolder, now, log }: CommandContext): Promise<Result<CommandOutcome>> => {
    // An archive that cannot be opened is one of the answers.
    const opened = await openArchive(archiveFolder);
    const isShared = opened.ok && !opened.value.isReadOnly && isPostgresPlace(archiveFolder);
    const queue = isShared ? new SeatQueue(archiveFolder, log) : undefined;
    const parts = { now, logFolder: defaultLogFolder(), queue };
    const looked = await tryArchive(async () =>
      resultOk(await doctorLines({ ...parts, archive: opened.ok ? opened.value : opened.problem })),
    );
    const lines = looked.ok ? looked.value : await doctorLines({ ...parts, archive: looked.problem });
    await queue?.close();
    if (opened.ok) await opened.value.close();
    const width = Math.max(...lines.map(({ what }) => what.length));
    terminal.printResult({ lines }, [
      ...lines.map(
        ({ what, isRight, text, remedy = '' }) =>
          `${isRight ? 'ok   ' : 'WRONG'}  ${what.padEnd(width)}  ${printable(text)}${isRight ? '' : ` → ${printable(remedy)}`}`,
      ),
      lines.every(({ isRight }) => isRight) ? 'Nothing is wrong.' : 'See the lines marked WRONG.',
    ]);
    return resultOk(lines.every(({ isRight }) => isRight) ? 'done' : 'blocked');
  };
