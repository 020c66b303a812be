/** The rolls with their panels, to be dragged by pointer or moved by keys; checked again after each move. */
import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import { lengthText } from '../../core/measure/length-text.ts';
import { filmLengthText } from '../../core/measure/long-length.ts';
import { present } from '../../core/measure/present.ts';
import { fillPlan } from '../../core/rolls/fill-plan.ts';
import { sizeOnRoll } from '../../core/rolls/roll-lengths.ts';
import type { FillItem } from '../../core/shop/fill-item.ts';
import { Button } from '../parts/button.tsx';
import { elementOf } from '../parts/elements.ts';
import type { ArtworkOfPanel } from './panel-artwork.tsx';
import type { RollDesk, RollsLaid } from './roll-desk.ts';
import {
  type DrawnPanel,
  type DrawnRoll,
  lengthShown,
  placementAtPoint,
  type RollsDrawing,
  rollAtHeight,
  rollsDrawing,
  rollsShown,
} from './roll-drawing.ts';
import { placementContext } from './roll-keys.ts';
import type { LabelOwner } from './roll-label.ts';
import { PanelInHand, RollPanel } from './roll-panel.tsx';
import { placementSnapped } from './roll-placement.ts';

const SNAP_PX = 10;
/** A press that moves less is a click. */
const DRAG_FROM_PX = 4;
const ZOOM_STEP = 1.5;
/** Below this, panels are too flat to be named or gripped; the film is scrolled instead. */
const LEAST_PX_PER_MM = 0.06;
const MOST_PX_PER_MM = 0.6;
/** A smaller piece is not named in the drawing; the list names all. */
const FILL_LABEL_PX = 32;

interface RollBoardProps {
  readonly desk: RollDesk;
  readonly laid: RollsLaid;
  readonly unit: 'mm' | 'in';
  /** Whose a panel is, where several jobs lie together. */
  ownerOf?(panelId: string): LabelOwner | undefined;
  /** Small pieces for the waste beside the panels. */
  readonly fill?: readonly FillItem[] | undefined;
  /** What prints on a panel, where the job is open. */
  artworkOf?(panelId: string): ArtworkOfPanel | undefined;
}

export function RollBoard(props: RollBoardProps) {
  const { desk, laid, unit } = props;
  const { placements, lockedIds, isReadOnly } = desk;
  const board = useRef<HTMLDivElement>(null);
  const [widthPx, setWidthPx] = useState(0);
  const [zoomed, setZoomed] = useState<number>();
  useEffect(() => {
    const observer = new ResizeObserver(([entry]) =>
      setWidthPx(present(entry, 'What has another size').contentRect.width),
    );
    observer.observe(elementOf(board));
    return () => observer.disconnect();
  }, []);

  const check = desk.liveCheck.value;
  // The scale follows the plan, not the panel in hand, or the film would shrink away under the pointer.
  const fitted = Math.max(0, widthPx - 2) / lengthShown(laid.plan.uses);
  const pxPerMm = zoomed ?? Math.max(fitted, LEAST_PX_PER_MM);
  const uses = check?.uses ?? [];
  const drawing = useMemo(
    () =>
      rollsDrawing(
        {
          rolls: rollsShown(laid.rolls, uses, laid.areRollsEntered),
          uses,
          items: desk.items.value,
          placements: placements.value,
          pieces: props.fill ? fillPlan(uses, laid.rolls, laid.rules, props.fill).placed : [],
        },
        pxPerMm,
        unit,
      ),
    [laid, check, pxPerMm, unit, props.fill],
  );
  return (
    <section class="roll-board" aria-label="Nesting">
      <div class="roll-board-head">
        <p class="quiet" id="roll-help">
          Drag a panel, or move the focused one with the arrow keys (Shift: farther, Alt: finer). T turns it,
          L locks or unlocks it, Page Up and Page Down change the roll. What you move stays; the rest is
          nested around it.
        </p>
        <span class="toolbar-gap" />
        <Button isDisabled={isReadOnly.value || placements.value.length === 0} onClick={desk.lockAll}>
          Lock all
        </Button>
        <Button
          isDisabled={isReadOnly.value || lockedIds.value.size === 0}
          onClick={() => desk.unlockPanels(lockedIds.value)}
        >
          Unlock all
        </Button>
        <Button
          title="Zoom out"
          isDisabled={pxPerMm <= fitted}
          onClick={() => setZoomed(Math.max(fitted, pxPerMm / ZOOM_STEP))}
        >
          −
        </Button>
        <Button
          title="Zoom in"
          isDisabled={pxPerMm >= MOST_PX_PER_MM}
          onClick={() => setZoomed(Math.min(MOST_PX_PER_MM, pxPerMm * ZOOM_STEP))}
        >
          +
        </Button>
        <Button title="All of the film that is used" onClick={() => setZoomed(fitted)}>
          Fit
        </Button>
      </div>
      <section
        ref={board}
        class="roll-board-film"
        aria-label="Rolls, which scroll sideways"
        // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard.
        tabIndex={0}
      >
        {widthPx > 0 && <Rolls drawing={drawing} {...props} />}
      </section>
    </section>
  );
}

interface RollsProps extends RollBoardProps {
  readonly drawing: RollsDrawing;
}

interface Grip {
  readonly panelId: string;
  readonly label: string;
  /** From the pointer to the panel's upper left corner. */
  readonly byX: number;
  readonly byY: number;
  readonly fromX: number;
  readonly fromY: number;
}

function Rolls({ drawing, desk, laid, unit, ownerOf, artworkOf }: RollsProps) {
  const { dragged, chosenPanelId, isReadOnly, items, placements } = desk;
  const grip = useRef<Grip | null>(null);
  const svg = useRef<SVGSVGElement>(null);
  const faulty = new Set(
    desk.liveCheck.value?.findings
      .filter(({ severity }) => severity === 'stop')
      .flatMap(({ where }) => where.panelId ?? []),
  );

  const inHand = drawing.rolls
    .flatMap(({ panels }) => panels)
    .find(({ item }) => item.panelId === dragged.value?.panelId);

  const takeGrip = (event: PointerEvent, { item, box }: DrawnPanel) => {
    chosenPanelId.value = item.panelId;
    if (event.button !== 0 || isReadOnly.value) return;
    const at = pointOn(elementOf(svg), event);
    grip.current = {
      panelId: item.panelId,
      label: item.label,
      byX: box.x - at.x,
      byY: box.y - at.y,
      fromX: event.clientX,
      fromY: event.clientY,
    };
    elementOf(svg).setPointerCapture(event.pointerId);
  };
  const moveGrip = (event: PointerEvent) => {
    const held = grip.current;
    if (!held) return;
    const isFar = Math.hypot(event.clientX - held.fromX, event.clientY - held.fromY) >= DRAG_FROM_PX;
    if (!dragged.value && !isFar) return;
    const item = items.value.find(({ panelId }) => panelId === held.panelId);
    const turned = placements.value.find(({ panelId }) => panelId === held.panelId)?.turned ?? false;
    if (!item) return;
    const at = pointOn(elementOf(svg), event);
    const corner = { x: at.x + held.byX, y: at.y + held.byY };
    const size = sizeOnRoll(item, turned);
    const middle = corner.y + (size.across * drawing.pxPerMm) / 2;
    const onto = rollAtHeight(drawing, middle);
    if (!onto) return;
    const loose = {
      panelId: item.panelId,
      rollId: onto.roll.id,
      turned,
      ...placementAtPoint(drawing, onto, corner, size),
    };
    const context = placementContext(desk, laid, loose);
    if (context)
      dragged.value = placementSnapped(loose, context, event.altKey ? 0 : SNAP_PX / drawing.pxPerMm);
  };
  const releaseGrip = (isKept: boolean) => {
    const [held, place] = [grip.current, dragged.value];
    grip.current = null;
    dragged.value = undefined;
    if (held && place && isKept) desk.lockPanel(place, `Move ${held.label} on the roll`);
  };
  return (
    <svg
      ref={svg}
      class="rolls"
      width={drawing.widthPx}
      height={drawing.heightPx}
      onPointerMove={moveGrip}
      onPointerUp={() => releaseGrip(true)}
      onPointerCancel={() => releaseGrip(false)}
    >
      <title>Nesting</title>
      <defs>
        <pattern id="roll-idle" width="6" height="6" patternUnits="userSpaceOnUse">
          <path class="roll-hatch" d="M-1 7L7 -1M-1 1L1 -1M5 7L7 5" />
        </pattern>
      </defs>
      {drawing.rolls.map((drawn) => (
        <Roll key={drawn.roll.id} drawn={drawn} unit={unit} />
      ))}
      {panelsByLabel(drawing).map(({ panel, rollLabel }) => (
        <RollPanel
          key={panel.item.panelId}
          panel={panel}
          desk={desk}
          laid={laid}
          owner={ownerOf?.(panel.item.panelId)}
          shown={artworkOf?.(panel.item.panelId)}
          rollLabel={rollLabel}
          unit={unit}
          isFaulty={faulty.has(panel.item.panelId)}
          onGrip={(event) => takeGrip(event, panel)}
          onEscape={() => releaseGrip(false)}
        />
      ))}
      {drawing.rolls.flatMap(({ roll, pieces }) =>
        pieces.map(({ item, box }) => (
          <g key={item.panelId} class="roll-fill">
            <title>
              {item.label}, {lengthText(item.widthMm, unit)} by {lengthText(item.lengthMm, unit)}, in the
              waste on {roll.label}
            </title>
            <rect {...box} />
            {box.width > FILL_LABEL_PX && box.height > FILL_LABEL_PX / 2 && (
              <text x={box.x + 3} y={box.y + box.height / 2 + 4}>
                {item.label.slice(0, Math.floor(box.width / 8))}
              </text>
            )}
          </g>
        )),
      )}
      <CutNumbers rolls={drawing.rolls} />
      {inHand && (
        <PanelInHand
          panel={inHand}
          desk={desk}
          owner={ownerOf?.(inHand.item.panelId)}
          shown={artworkOf?.(inHand.item.panelId)}
          isFaulty={faulty.has(inHand.item.panelId)}
        />
      )}
    </svg>
  );
}

/** Over the panels: a space between them is too narrow to read a number in. */
const CutNumbers = ({ rolls }: Pick<RollsDrawing, 'rolls'>) => (
  <g class="roll-cut-numbers">
    {rolls.flatMap(({ roll, cutNumbers }) =>
      cutNumbers.map(({ x, y, number }) => (
        <g key={`${roll.id} ${x} ${y}`}>
          <circle cx={x} cy={y} r="8" />
          <text x={x} y={y + 4}>
            {number}
          </text>
        </g>
      )),
    )}
  </g>
);

/** In one order wherever they lie: an element that is moved in the page would lose the focus. */
const panelsByLabel = (drawing: RollsDrawing) =>
  drawing.rolls
    .flatMap(({ roll, panels }) => panels.map((panel) => ({ panel, rollLabel: roll.label })))
    .toSorted((a, b) => (a.panel.item.label < b.panel.item.label ? -1 : 1));

function pointOn(svg: SVGSVGElement, event: PointerEvent): { readonly x: number; readonly y: number } {
  const { left, top } = svg.getBoundingClientRect();
  return { x: event.clientX - left, y: event.clientY - top };
}

function Roll({ drawn, unit }: { readonly drawn: DrawnRoll; readonly unit: 'mm' | 'in' }) {
  const { roll, use, film, caption, idle, cuts, ticks } = drawn;
  const used = use
    ? `${filmLengthText(use.usedLengthMm, unit)} used, ${use.wastePercent.toFixed(0)} % waste`
    : 'free';
  const foot = film.y + film.height;
  return (
    <g class="roll">
      <text class="roll-caption" x={caption.x} y={caption.y}>
        {roll.label}, {lengthText(roll.widthMm, unit)} wide: {used}
      </text>
      <rect class="roll-film" {...film} />
      {idle.map((box) => (
        <rect key={`${box.x} ${box.y} ${box.height}`} class="roll-idle" {...box} />
      ))}
      <path class="roll-cuts" d={cuts} />
      {ticks.map(({ x, atMm }) => (
        <g key={atMm} class="roll-tick">
          <path d={`M${x} ${foot}v5`} />
          <text x={x + 3} y={foot + 14}>
            {lengthText(atMm, unit === 'mm' ? 'm' : 'ft')}
          </text>
        </g>
      ))}
    </g>
  );
}
