/** On which day of the installation sides and panels of a job file are installed: listed, or set. */
import { panelsDaySet, sideDaySet } from '../../core/job/edits/edits.ts';
import { installDay } from '../../core/job/install-days.ts';
import { type Job, MOST_INSTALL_DAYS } from '../../core/job/schema.ts';
import { jobLayout } from '../../core/layout/side-layout.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { readJobFile, writeJobFile } from '../job/job-file.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import { printable, tableLines } from './terminal.ts';

export const installDayCommand =
  (path: string, names: readonly string[], { day }: { readonly day?: number }) =>
  async ({ terminal }: CommandContext): Promise<Result<CommandOutcome>> => {
    const read = await readJobFile(path);
    if (!read.ok) return read;
    if ((day === undefined) !== (names.length === 0)) return resultProblem(halfSaid);
    const changed = day === undefined ? read : jobWithDay(read.value, names, day);
    if (!changed.ok) return changed;
    if (changed.value !== read.value) {
      const written = await writeJobFile(path, changed.value);
      if (!written.ok) return written;
    }
    const panels = jobLayout(changed.value).flatMap((layout) => layout.panels);
    const days = [...Map.groupBy(panels, installDay)]
      .toSorted(([one], [other]) => one - other)
      .map(([of, found]) => ({ day: of, panels: found.map(({ label }) => label) }));
    terminal.printResult(
      { days },
      tableLines(days.map((each) => [`Day ${each.day}`, each.panels.map(printable).join(', ')])),
    );
    return resultOk('done');
  };

const halfSaid = {
  code: 'install-day-unsaid',
  message: 'An install day is set by the day and what is installed on it, and one of them is missing.',
  remedy: 'Write it as: install-day JOB --day 2 LH RH-03',
};

/** `names`: of sides as they lead labels, or of panels. Nothing is set where one is unknown. */
function jobWithDay(job: Job, names: readonly string[], day: number): Result<Job> {
  if (day > MOST_INSTALL_DAYS)
    return resultProblem({
      code: 'install-day-range',
      message: `An installation has at most ${MOST_INSTALL_DAYS} days.`,
      remedy: `Give a day from 1 to ${MOST_INSTALL_DAYS}.`,
    });
  let changed = job;
  for (const name of names) {
    const panels = jobLayout(job).flatMap((layout) => layout.panels);
    const ofSide = panels.find(({ label }) => sideOf(label) === name.toUpperCase());
    const panel = panels.find(({ label }) => label === name.toUpperCase());
    const found = ofSide ?? panel;
    if (!found)
      return resultProblem({
        code: 'install-day-unknown',
        message: `The job has no side and no panel ${printable(name)}.`,
        remedy: `Select from: ${[...new Set(panels.map(({ label }) => sideOf(label)))].join(', ')}, or a panel such as ${panels[0]?.label ?? 'LH-01'}.`,
      });
    const { sideId, id } = found;
    const edited = ofSide
      ? sideDaySet(changed, { sideId, day })
      : panelsDaySet(changed, { sideId, panelIds: [id], day });
    if (!edited.ok) return edited;
    changed = edited.value;
  }
  return resultOk(changed);
}

const sideOf = (label: string): string => label.replace(/-\d+$/, '');
