/** One step of a job on the time line: dragged, moved by arrow keys, or opened to type its start. */
import { useState } from 'preact/hooks';
import { present } from '../../core/measure/present.ts';
import { barNamed, type WeekBar, type WeekLane } from '../../core/production/week.ts';
import { localTimeText, minutesFromLocal } from '../../core/shop/local-time.ts';
import { shopProfile } from '../state/shop.ts';
import { makeMove, standing } from '../state/week.ts';
import { barPlace, hasRoomBehind, labelPx, movedBy, movedByKey, type WeekSpan } from './week-place.ts';

export const STEP_WORDS = { print: 'printing', laminate: 'lamination', install: 'installation' } as const;

/** Wider than a finger that means to press. */
const DRAG_PX = 4;

export const weekBarId = ({
  jobId,
  step,
  filmId,
  day,
}: Pick<WeekBar, 'jobId' | 'step' | 'filmId' | 'day'>): string =>
  `week-${step}-${jobId}-${filmId ?? ''}-${day ?? ''}`;

export const barLabel = (bar: WeekBar, isBroken: boolean): string =>
  [isBroken && '!', bar.isDone && '✓', barNamed(bar)].filter(Boolean).join(' ');

export const weekTime = (local: string): string =>
  localTimeText(minutesFromLocal(local), shopProfile.value.dateOrder);

interface WeekBarButtonProps {
  readonly bar: WeekBar;
  readonly lane: WeekLane;
  readonly span: WeekSpan;
  readonly row: number;
  readonly isBroken: boolean;
  /** While it is moved, where it would begin; else undefined. */
  onMoving(sentence: string | undefined): void;
  onOpen(): void;
}

export function WeekBarButton({ bar, lane, span, row, isBroken, onMoving, onOpen }: WeekBarButtonProps) {
  const [moving, setMoving] = useState<{ readonly start: string; readonly bay?: number }>();
  const [grip, setGrip] = useState<{
    readonly x: number;
    readonly widthPx: number;
    readonly isDrag: boolean;
  }>();
  const length = minutesFromLocal(bar.to) - minutesFromLocal(bar.from);
  const start = moving?.start ?? bar.from;
  const place = barPlace(span, {
    from: start,
    to: moving ? movedBy({ from: span.from, days: 1 }, start, length / 1440) : bar.to,
  });
  const show = (next: { readonly start: string; readonly bay?: number } | undefined) => {
    setMoving(next);
    const bay = next?.bay === undefined ? '' : `, bay ${next.bay}`;
    onMoving(next && `${barNamed(bar)}: ${STEP_WORDS[bar.step]} would begin ${weekTime(next.start)}${bay}.`);
  };
  const keep = async (next: { readonly start: string; readonly bay?: number }) => {
    const { jobId, step, filmId } = bar;
    await makeMove(
      {
        ...{ jobId, step, start: next.start },
        ...(filmId !== undefined && { filmId }),
        ...(next.bay !== undefined && { bay: next.bay }),
      },
      standing(bar, lane.number),
    );
    show(undefined);
  };
  const key = (event: KeyboardEvent) => {
    if (event.key === 'ArrowLeft' || event.key === 'ArrowRight') {
      event.preventDefault();
      const sign = event.key === 'ArrowRight' ? 1 : -1;
      show({ ...moving, start: movedByKey(start, sign, event.shiftKey) });
    } else if (bar.step === 'install' && (event.key === 'ArrowUp' || event.key === 'ArrowDown')) {
      event.preventDefault();
      const bay = (moving?.bay ?? lane.number ?? 1) + (event.key === 'ArrowDown' ? 1 : -1);
      if (bay >= 1 && bay <= 50) show({ start, bay });
    } else if (event.key === 'Escape' && moving) {
      event.preventDefault();
      show(undefined);
    } else if (event.key === 'Enter' && moving) {
      event.preventDefault();
      void keep(moving);
    }
  };
  if (!place) return null;
  const label = barLabel(bar, isBroken);
  const words = [
    barNamed(bar),
    bar.name,
    STEP_WORDS[bar.step],
    `${weekTime(bar.from)} to ${weekTime(bar.to)}`,
    bar.isDone && 'off the printer',
    isBroken && 'does not go as it stands',
  ].filter(Boolean);
  return (
    <button
      id={weekBarId(bar)}
      type="button"
      class={[
        'week-bar',
        `is-${bar.step}`,
        bar.isDone && 'is-done',
        isBroken && 'is-broken',
        moving && 'is-moving',
      ]
        .filter(Boolean)
        .join(' ')}
      style={{
        left: `${place.left * 100}%`,
        top: `calc(${row} * var(--week-row) + 0.2rem)`,
        '--fill': `max(5px, ${place.width * 100}cqw)`,
        '--label': hasRoomBehind(span, place, label) ? `${labelPx(label)}px` : '0px',
      }}
      title={words.join(', ')}
      aria-label={words.join(', ')}
      onKeyDown={key}
      onBlur={() => !grip && show(undefined)}
      onClick={(event) => {
        // A drag ends in a click of its own, and Enter keeps what the arrow keys have moved.
        if (event.currentTarget.dataset.dragged === 'yes') event.currentTarget.dataset.dragged = '';
        else if (!moving) onOpen();
      }}
      onPointerDown={(event) => {
        if (event.button !== 0 || bar.isDone) return;
        event.currentTarget.setPointerCapture(event.pointerId);
        setGrip({
          x: event.clientX,
          widthPx: present(event.currentTarget.parentElement, 'The line of a bar').clientWidth,
          isDrag: false,
        });
      }}
      onPointerMove={(event) => {
        if (!grip) return;
        const off = event.clientX - grip.x;
        if (!grip.isDrag && Math.abs(off) < DRAG_PX) return;
        if (!grip.isDrag) setGrip({ ...grip, isDrag: true });
        const bay = bayUnder(event, lane);
        show({ start: movedBy(span, bar.from, off / grip.widthPx), ...(bay !== undefined && { bay }) });
      }}
      onPointerUp={(event) => {
        setGrip(undefined);
        if (!grip?.isDrag || !moving) return;
        event.currentTarget.dataset.dragged = 'yes';
        void keep(moving);
      }}
      onPointerCancel={() => {
        setGrip(undefined);
        show(undefined);
      }}
    >
      {/* As long as the step. */}
      <span class="week-fill" />
      <span class="week-label" aria-hidden="true">
        {label}
      </span>
    </button>
  );
}

/** Of an installation that is dragged over another bay. */
function bayUnder({ clientX, clientY }: PointerEvent, { kind, number }: WeekLane): number | undefined {
  if (kind !== 'bay') return undefined;
  const lanes = document
    .elementsFromPoint(clientX, clientY)
    .map((element) => element.closest<HTMLElement>('[data-bay]')?.dataset.bay);
  const bay = lanes.find((each) => each !== undefined);
  return bay === undefined || Number(bay) === number ? undefined : Number(bay);
}
