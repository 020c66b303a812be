/** The small calendar of the drying clock. */
import type { Job } from '../../core/job/schema.ts';
import { dayText } from '../../core/shop/date-text.ts';
import type { WorkingHours } from '../../core/shop/working-hours.ts';
import { type ClockMoments, type ClockStep, clockCalendar } from './clock-calendar.ts';

const ROW_PX = 22;
const LABEL_PX = 78;
const DAY_PX = 216;

const STEP_LETTERS: Readonly<Record<ClockStep, string>> = {
  laminate: 'L',
  trim: 'T',
  pack: 'K',
  install: 'I',
  promised: '!',
};

interface ClockPictureProps {
  readonly moments: ClockMoments;
  readonly hours: WorkingHours;
  readonly dateOrder: Job['dateOrder'];
}

export function ClockPicture({ moments, hours, dateOrder = 'year-first' }: ClockPictureProps) {
  const days = clockCalendar(moments, hours);
  const x = (share: number) => LABEL_PX + share * DAY_PX;
  return (
    <figure class="clock">
      <svg
        viewBox={`0 0 ${LABEL_PX + DAY_PX + 8} ${days.length * ROW_PX + 14}`}
        role="img"
        aria-label="Calendar of the drying clock; the moments are listed above"
      >
        {[0, 6, 12, 18, 24].map((hour) => (
          <text key={hour} class="clock-hour" x={x(hour / 24)} y={9} text-anchor="middle">
            {hour}
          </text>
        ))}
        {days.map((day, index) => (
          <g key={day.date} transform={`translate(0 ${14 + index * ROW_PX})`}>
            <text class="clock-day" x={0} y={15}>
              {day.weekday} {dateOrder === 'year-first' ? day.date.slice(5) : dayText(day.date, dateOrder)}
            </text>
            <rect class="clock-ground" x={x(0)} y={2} width={DAY_PX} height={ROW_PX - 4} />
            {day.shifts.map(({ from, to }) => (
              <rect
                key={from}
                class="clock-shift"
                x={x(from)}
                y={2}
                width={(to - from) * DAY_PX}
                height={ROW_PX - 4}
              />
            ))}
            {day.printing.map(({ from, to }) => (
              <rect
                key={from}
                class="clock-printing"
                x={x(from)}
                y={5}
                width={Math.max(1.5, (to - from) * DAY_PX)}
                height={ROW_PX - 10}
              />
            ))}
            {day.drying.map(({ from, to }) => (
              <path key={from} class="clock-drying" d={`M${x(from)} ${ROW_PX / 2}H${x(to)}`} />
            ))}
            {day.marks.map(({ at, step }) => (
              <g key={step} class={`clock-mark is-${step}`} transform={`translate(${x(at)} ${ROW_PX / 2})`}>
                <path d="M0 -9V9" />
                <text x={2} y={4}>
                  {STEP_LETTERS[step]}
                </text>
              </g>
            ))}
          </g>
        ))}
      </svg>
      <figcaption class="quiet">
        Light: working hours. Block: printing. Dashes: drying. L laminate, T trim, K pack, I install, !
        promised.
      </figcaption>
    </figure>
  );
}
