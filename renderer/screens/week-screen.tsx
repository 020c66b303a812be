/** All open jobs on one time line, by printer, laminator and bay. Conflicts are shown; bars without one are quiet. */
import { useEffect, useState } from 'preact/hooks';
import {
  barNamed,
  spanText,
  type Week,
  type WeekBar,
  type WeekLane,
  type WeekProblem,
} from '../../core/production/week.ts';
import {
  dateOfMinutes,
  localFromMinutes,
  MINUTES_PER_DAY,
  minutesFromLocal,
} from '../../core/shop/local-time.ts';
import { nextWorkingMinute } from '../../core/shop/working-hours.ts';
import { Button } from '../parts/button.tsx';
import { SelectField } from '../parts/select-field.tsx';
import { WorkProgress } from '../parts/work-progress.tsx';
import { weekBarId, weekTime } from '../production/week-bar.tsx';
import { WeekLine } from '../production/week-line.tsx';
import { addressFromRoute } from '../state/route.ts';
import { shopProfile } from '../state/shop.ts';
import {
  localNow,
  makeMove,
  mondayOf,
  readWeek,
  standing,
  weekDays,
  weekFrom,
  weekRead,
  weekWork,
} from '../state/week.ts';
import { WeekStartDialog, type WeekStarted } from './week-start-dialog.tsx';

export function WeekScreen() {
  const [started, setStarted] = useState<WeekStarted>();
  useEffect(() => void readWeek(), []);
  const read = weekRead.value;
  const progress = weekWork.progress.value;
  const span = { from: weekFrom.value ?? mondayOf(localNow().slice(0, 10)), days: weekDays.value };
  const turn = (weeks: number) => {
    const at = minutesFromLocal(`${span.from}T00:00`) + weeks * 7 * MINUTES_PER_DAY;
    weekFrom.value = dateOfMinutes(at);
  };
  const bays = Math.max(
    1,
    ...(read?.week.lanes ?? []).map(({ kind, number = 0 }) => (kind === 'bay' ? number : 0)),
  );
  return (
    <div class="jobs week">
      <div class="jobs-head">
        <h1>The week</h1>
        <Button onClick={() => turn(-1)}>Earlier</Button>
        <Button
          onClick={() => {
            weekFrom.value = undefined;
          }}
        >
          This week
        </Button>
        <Button onClick={() => turn(1)}>Later</Button>
        <SelectField
          label="Days shown"
          value={String(span.days) as '7' | '14' | '28'}
          options={[
            { value: '7', label: '1 week' },
            { value: '14', label: '2 weeks' },
            { value: '28', label: '4 weeks' },
          ]}
          onChange={(days) => {
            weekDays.value = Number(days) as 7 | 14 | 28;
          }}
        />
      </div>
      {progress && <WorkProgress progress={progress} onCancel={weekWork.cancel} />}
      {read && (
        <>
          <Problems week={read.week} onOpen={setStarted} />
          <WeekLine
            lanes={read.week.lanes}
            span={span}
            broken={new Set(read.week.problems.map(weekBarId))}
            onOpen={(bar, lane) => setStarted(startedFromBar(bar, lane))}
          />
          <p class="quiet">
            Light: working hours. Times are worked out from estimates; printing goes on at night where the
            printer runs unattended. Bays, laminators, working hours and days that are closed stand in the
            settings of the shop.
          </p>
          <Waiting week={read.week} onOpen={setStarted} />
          {read.leftOut.length > 0 && (
            <section>
              <h2>Not on it</h2>
              <ul>
                {read.leftOut.map(({ jobId, number, why }) => (
                  <li key={jobId}>
                    <a href={addressFromRoute({ screen: 'production', jobId })}>{number}</a>: {why}
                  </li>
                ))}
              </ul>
            </section>
          )}
        </>
      )}
      {started && <WeekStartDialog started={started} bays={bays} onClose={() => setStarted(undefined)} />}
    </div>
  );
}

const startedFromBar = (bar: WeekBar, lane: WeekLane): WeekStarted => {
  const { jobId, number, name, letter, step, filmId, planned, from, to } = bar;
  const planning = planned !== undefined && planned < from ? `, planned for ${weekTime(planned)}` : '';
  return {
    ...{ jobId, number, name, letter, step, filmId, start: planned ?? from },
    bay: lane.number,
    before: standing(bar, lane.number),
    stands: `${lane.name}: ${weekTime(from)} to ${weekTime(to)}${planning}.`,
  };
};

interface PartProps {
  readonly week: Week;
  onOpen(started: WeekStarted): void;
}

function Problems({ week, onOpen }: PartProps) {
  if (week.problems.length === 0) return null;
  return (
    <section class="week-problems" aria-labelledby="week-problems-head">
      <h2 id="week-problems-head">
        {week.problems.length === 1 ? '1 warning' : `${week.problems.length} warnings`}
      </h2>
      <ul>
        {week.problems.map((problem) => (
          <li key={`${problem.code} ${weekBarId(problem)}`}>
            <strong>{problem.message}</strong> {problem.remedy}{' '}
            <ProblemButtons week={week} problem={problem} onOpen={onOpen} />
          </li>
        ))}
      </ul>
    </section>
  );
}

function ProblemButtons({ week, problem, onOpen }: PartProps & { readonly problem: WeekProblem }) {
  const found = week.lanes
    .flatMap((lane) => lane.bars.map((bar) => ({ lane, bar })))
    .find(({ bar }) => weekBarId(bar) === weekBarId(problem));
  if (!found) return null;
  const { bar, lane } = found;
  const { start } = problem;
  const show = () => {
    weekFrom.value = mondayOf(bar.from.slice(0, 10));
    requestAnimationFrame(() => document.getElementById(weekBarId(bar))?.focus());
  };
  return (
    <span class="week-answers">
      {start !== undefined && (
        <Button
          onClick={() =>
            void makeMove(
              {
                ...{ jobId: bar.jobId, step: bar.step, start },
                ...(bar.filmId !== undefined && { filmId: bar.filmId }),
              },
              standing(bar, lane.number),
            )
          }
        >
          Begin {barNamed(bar)} at {weekTime(start)}
        </Button>
      )}
      <Button onClick={() => onOpen(startedFromBar(bar, lane))}>
        Enter another start for {barNamed(bar)}
      </Button>
      <Button onClick={show}>Go to {barNamed(bar)}</Button>
    </span>
  );
}

function Waiting({ week, onOpen }: PartProps) {
  if (week.waiting.length === 0) return null;
  return (
    <section aria-labelledby="week-waiting-head">
      <h2 id="week-waiting-head">Without a start of printing</h2>
      <table class="table">
        <thead>
          <tr>
            <th scope="col">Job</th>
            <th scope="col">Printer</th>
            <th scope="col">Prints</th>
            <th scope="col">Promised for</th>
            <th scope="col">Start</th>
          </tr>
        </thead>
        <tbody>
          {week.waiting.map((film) => (
            <tr key={`${film.jobId} ${film.filmId}`}>
              <td>
                <a href={addressFromRoute({ screen: 'production', jobId: film.jobId })}>{barNamed(film)}</a>{' '}
                {film.name}
              </td>
              <td>{film.printer}</td>
              <td>≈ {spanText(film.printMinutes)}</td>
              <td>{film.promised === undefined ? '' : weekTime(film.promised)}</td>
              <td>
                <Button
                  onClick={() => {
                    const { jobId, number, name, letter, filmId } = film;
                    onOpen({
                      ...{
                        jobId,
                        number,
                        name,
                        letter,
                        filmId,
                        step: 'print',
                        start: freeFrom(week, film.printer),
                      },
                      before: { jobId, filmId, step: 'print', start: null },
                      stands: `It prints ${spanText(film.printMinutes)} on ${film.printer}, an estimate.`,
                    });
                  }}
                >
                  Give {barNamed(film)} a start
                </Button>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

/** After the last job on a printer has ended, and not before now. */
function freeFrom({ lanes }: Week, printer: string): string {
  const ends = lanes
    .filter(({ kind, name }) => kind === 'printer' && name.toLowerCase() === printer.trim().toLowerCase())
    .flatMap(({ bars }) => bars.map(({ to }) => to));
  const at = Math.max(...[localNow(), ...ends].map(minutesFromLocal));
  const quarter = Math.ceil(at / 15) * 15;
  return localFromMinutes(nextWorkingMinute(quarter, shopProfile.value.production.workingHours));
}
