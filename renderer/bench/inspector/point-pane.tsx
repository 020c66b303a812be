/** A picture on which points are marked: by a click, then dragged, or moved by arrow keys. */
import type { ComponentChildren } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import { firstOf, itemAt, present } from '../../../core/measure/present.ts';
import type { Point } from '../../../core/measure/rect.ts';
import { Button } from '../../parts/button.tsx';
import { elementOf } from '../../parts/elements.ts';

const ZOOM_STEP = 1.6;
const FAST_STEPS = 10;
/** A press this near to a mark selects it. */
const GRIP_PX = 10;
/** A shorter movement is not a drag. */
const STILL_PX = 3;

export interface Mark {
  readonly name: string;
  readonly at: Point;
  readonly isInHand: boolean;
  readonly isDoubted: boolean;
  /** Makes the mark current; absent: it is current already, or cannot be. */
  onTake?(): void;
}

interface PointPaneProps {
  readonly title: string;
  /** The visible part, in its units from its upper left corner. */
  readonly width: number;
  readonly height: number;
  /** Step of an arrow key: a pixel of a photo, a millimeter of a side. */
  readonly unit: number;
  readonly marks: readonly Mark[];
  readonly lines?: readonly (readonly Point[])[];
  readonly children: ComponentChildren;
  onPoint(at: Point): void;
  /** By arrow keys; absent: as a click. */
  onMove?(at: Point): void;
}

export function PointPane(props: PointPaneProps) {
  const { title, width, height, unit, marks, lines = [], children, onPoint, onMove = onPoint } = props;
  const room = useRef<HTMLDivElement>(null);
  const paper = useRef<HTMLDivElement>(null);
  const [fitted, setFitted] = useState(0);
  const [zoom, setZoom] = useState(1);
  useEffect(() => {
    const observer = new ResizeObserver(([entry]) => {
      const box = present(entry, 'What has another size').contentRect;
      setFitted(Math.min((box.width - 2) / width, (box.height - 2) / height));
    });
    observer.observe(elementOf(room));
    return () => observer.disconnect();
  }, [width, height]);
  const scale = Math.max(fitted * zoom, 1e-6);
  const inHand = marks.find(({ isInHand }) => isInHand);

  const pressed = useRef<{ readonly x: number; readonly y: number; isMoved: boolean } | undefined>(undefined);
  const pointAt = ({ clientX, clientY }: MouseEvent): Point => {
    const box = elementOf(paper).getBoundingClientRect();
    return { x: (clientX - box.left) / scale, y: (clientY - box.top) / scale };
  };
  const press = (event: PointerEvent) => {
    const { x, y } = pointAt(event);
    const grip = marks
      .map((mark) => ({ mark, px: Math.hypot(mark.at.x - x, mark.at.y - y) * scale }))
      .filter(({ mark, px }) => px <= GRIP_PX && (mark.isInHand || mark.onTake))
      .toSorted((a, b) => a.px - b.px)[0];
    pressed.current = grip && { x: event.clientX, y: event.clientY, isMoved: false };
    if (!grip) return;
    grip.mark.onTake?.();
    elementOf(room).setPointerCapture(event.pointerId);
  };
  const drag = (event: PointerEvent) => {
    const from = pressed.current;
    if (!from || event.buttons === 0) return;
    from.isMoved ||= Math.hypot(event.clientX - from.x, event.clientY - from.y) >= STILL_PX;
    if (from.isMoved) onMove(withinPicture(pointAt(event)));
  };
  const withinPicture = ({ x, y }: Point): Point => ({
    x: Math.min(Math.max(x, 0), width),
    y: Math.min(Math.max(y, 0), height),
  });

  const move = (event: KeyboardEvent) => {
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
    if (!way) return;
    event.preventDefault();
    const step = unit * (event.shiftKey ? FAST_STEPS : 1);
    const from = inHand?.at ?? { x: width / 2, y: height / 2 };
    onMove({ x: from.x + firstOf(way) * step, y: from.y + itemAt(way, 1) * step });
  };
  return (
    <section class="point-pane" aria-label={title}>
      <div class="picture-pane-zoom">
        <h3>{title}</h3>
        <Button
          spoken={`Zoom out of ${title}`}
          isDisabled={zoom <= 1}
          onClick={() => setZoom(zoom / ZOOM_STEP)}
        >
          −
        </Button>
        <Button
          spoken={`Zoom into ${title}`}
          isDisabled={scale >= 8}
          onClick={() => setZoom(zoom * ZOOM_STEP)}
        >
          +
        </Button>
        <Button spoken={`Fit ${title}`} isPressed={zoom === 1} onClick={() => setZoom(1)}>
          Fit
        </Button>
      </div>
      <div
        ref={room}
        class="picture-pane-room"
        role="application"
        aria-label={`${title}: arrow keys move the point in hand`}
        // biome-ignore lint/a11y/noNoninteractiveTabindex: a picture that is worked with the keyboard must take the focus.
        tabIndex={0}
        onKeyDown={move}
        onPointerDown={press}
        onPointerMove={drag}
        onClick={(event) => {
          // A point pressed on its mark is not moved by the click, only by a drag.
          const wasTaken = pressed.current !== undefined;
          pressed.current = undefined;
          if (wasTaken) return;
          const at = pointAt(event);
          if (at.x >= 0 && at.y >= 0 && at.x <= width && at.y <= height) onPoint(at);
        }}
      >
        <div
          ref={paper}
          class="picture-pane-paper"
          style={{ width: `${width * scale}px`, height: `${height * scale}px` }}
        >
          {children}
          <svg class="point-marks" viewBox={`0 0 ${width * scale} ${height * scale}`} aria-hidden="true">
            {lines.map((line) => (
              <polyline
                key={`${line[0]?.x} ${line[0]?.y}`}
                points={line.map(({ x, y }) => `${x * scale},${y * scale}`).join(' ')}
              />
            ))}
            {marks.map(({ name, at, isInHand, isDoubted }) => (
              <g
                key={name}
                class={`point-mark${isInHand ? ' is-in-hand' : ''}${isDoubted ? ' is-doubted' : ''}`}
                transform={`translate(${at.x * scale} ${at.y * scale})`}
              >
                <path d="M-11 0h8M3 0h8M0 -11v8M0 3v8" />
                <circle r="7" />
                <text x="12" y="-6">
                  {isDoubted ? `▲ ${name}` : name}
                </text>
              </g>
            ))}
          </svg>
        </div>
      </div>
    </section>
  );
}
