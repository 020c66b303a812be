/** The time line of the shop: a row for each printer, laminator and bay, days across, nights and holidays shaded. */
import { useState } from 'preact/hooks';
import { itemAt } from '../../core/measure/present.ts';
import type { WeekBar, WeekLane } from '../../core/production/week.ts';
import { dayText } from '../../core/shop/date-text.ts';
import { shopProfile } from '../state/shop.ts';
import { localNow } from '../state/week.ts';
import { barLabel, WeekBarButton, weekBarId } from './week-bar.tsx';
import { barPlace, barRows, shareOfWeek, type WeekSpan, weekDaysShown } from './week-place.ts';

interface WeekLineProps {
  readonly lanes: readonly WeekLane[];
  readonly span: WeekSpan;
  /** Ids of bars that cannot stay at their place. */
  readonly broken: ReadonlySet<string>;
  onOpen(bar: WeekBar, lane: WeekLane): void;
}

export function WeekLine({ lanes, span, broken, onOpen }: WeekLineProps) {
  const [moving, setMoving] = useState<string>();
  const { production, dateOrder } = shopProfile.value;
  const days = weekDaysShown(span, production.workingHours);
  const now = shareOfWeek(span, localNow());
  return (
    <div class={`week-line has-${span.days}-days`}>
      <div class="week-days" aria-hidden="true">
        {days.map(({ date, weekday, isHoliday }) => (
          <div key={date}>
            <strong>{weekday}</strong> {dateOrder === 'year-first' ? date.slice(5) : dayText(date, dateOrder)}
            {isHoliday && <span class="quiet"> closed</span>}
          </div>
        ))}
      </div>
      {lanes.map((lane) => {
        const shown = lane.bars.filter((bar) => barPlace(span, bar));
        const rows = barRows(
          span.days,
          shown.map((bar) => ({ ...bar, label: barLabel(bar, broken.has(weekBarId(bar))) })),
        );
        const count = Math.max(1, ...rows.map((row) => row + 1));
        const titleId = `week-lane-${lane.kind}-${lane.number ?? lane.name}`;
        return (
          <section key={titleId} class="week-lane" aria-labelledby={titleId}>
            <h2 id={titleId}>{lane.name}</h2>
            <div
              class="week-bars"
              style={{ height: `calc(${count} * var(--week-row) + 0.4rem)` }}
              {...(lane.kind === 'bay' && { 'data-bay': lane.number })}
            >
              {days.map(({ date, shifts }, index) => (
                <div
                  key={date}
                  class="week-day"
                  style={{ left: `${(index * 100) / span.days}%`, width: `${100 / span.days}%` }}
                  data-shifts={shifts.length}
                />
              ))}
              {days.flatMap(({ date, shifts }) =>
                shifts.map(({ left, width }) => (
                  <div
                    key={`${date} ${left}`}
                    class="week-shift"
                    style={{ left: `${left * 100}%`, width: `${width * 100}%` }}
                  />
                )),
              )}
              {now > 0 && now < 1 && <div class="week-now" style={{ left: `${now * 100}%` }} />}
              {shown.map((bar, index) => (
                <WeekBarButton
                  key={weekBarId(bar)}
                  bar={bar}
                  lane={lane}
                  span={span}
                  row={itemAt(rows, index)}
                  isBroken={broken.has(weekBarId(bar))}
                  onMoving={setMoving}
                  onOpen={() => onOpen(bar, lane)}
                />
              ))}
            </div>
          </section>
        );
      })}
      <p class="week-status" role="status">
        {moving === undefined
          ? 'Drag a job, move it by the arrow keys (with Shift by a day; a bay up and down), or press it to type its start.'
          : `${moving} Enter keeps it, Escape leaves it.`}
      </p>
    </div>
  );
}
