/** The canvas with its rulers: draws through BenchDrawing and turns pointer and wheel into gestures. */
import { useEffect, useId, useRef } from 'preact/hooks';
import { BenchDrawing } from './bench-drawing.ts';
import { cursorAt, gestureBegun, panBegun, pointerHovered } from './bench-pointer.ts';
import {
  announcement,
  canvasSize,
  draftsClear,
  fitShow,
  hoveredId,
  readout,
  tool,
  viewChange,
  viewport,
  zoomBy,
} from './bench-state.ts';
import { canvasFocusFollowed } from './canvas-focus.ts';
import type { BenchPointer, Gesture } from './gesture.ts';
import { pointerPosition } from './pointer-position.ts';
import { mmFromPx, viewportPanned } from './viewport.ts';

/** Zoom per pixel of wheel travel: one notch of 100 px is about a fifth. */
const WHEEL_ZOOM_PER_PX = 0.0018;
const LINE_PX = 16;

export function BenchCanvas({ label }: { readonly label: string }) {
  const area = useRef<HTMLDivElement>(null);
  const canvas = useRef<HTMLCanvasElement>(null);
  const lines = useRef<HTMLDivElement>(null);
  const topRuler = useRef<HTMLDivElement>(null);
  const leftRuler = useRef<HTMLDivElement>(null);
  const helpId = useId();

  useEffect(() => {
    const drawing = new BenchDrawing({
      canvas: canvas.current!,
      lines: lines.current!,
      topRuler: topRuler.current!,
      leftRuler: leftRuler.current!,
    });
    const forgetSize = sizeFollowed(area.current!);
    const forgetPointer = pointerFollowed(area.current!);
    const forgetFocus = canvasFocusFollowed(area.current!);
    return () => {
      forgetFocus();
      forgetPointer();
      forgetSize();
      drawing.close();
    };
  }, []);

  return (
    <div class="bench-canvas">
      <div class="ruler-corner" />
      <div class="ruler-top" ref={topRuler} />
      <div class="ruler-left" ref={leftRuler} />
      <div
        class="bench-area"
        ref={area}
        role="application"
        aria-label={label}
        aria-describedby={helpId}
        // biome-ignore lint/a11y/noNoninteractiveTabindex: a canvas that is worked with the keyboard must take the focus.
        tabIndex={0}
      >
        <canvas ref={canvas} />
        <div class="bench-lines" ref={lines} />
        <Readout />
      </div>
      <p id={helpId} class="screen-reader-only">
        Arrow keys go from panel to panel. With a seam chosen, arrow keys across it move it. F1 lists all
        keys.
      </p>
    </div>
  );
}

/** Words beside the pointer while something is dragged. */
function Readout() {
  const box = useRef<HTMLDivElement>(null);
  const now = readout.value;
  useEffect(() => {
    if (!now || !box.current) return;
    const { widthPx, heightPx } = canvasSize.peek();
    const { offsetWidth, offsetHeight } = box.current;
    const x = Math.min(now.at.xPx + 18, widthPx - offsetWidth - 4);
    const y = now.at.yPx + 18 + offsetHeight > heightPx ? now.at.yPx - offsetHeight - 12 : now.at.yPx + 18;
    box.current.style.transform = `translate(${Math.max(4, x)}px, ${Math.max(4, y)}px)`;
  });
  if (!now) return null;
  return (
    <div class="readout" ref={box} aria-hidden="true">
      {now.lines.map((line) => (
        <div key={line}>{line}</div>
      ))}
    </div>
  );
}

/** The last thing that was said, for the eye below the canvas and for screen readers. */
export function Announcement() {
  return (
    <p class="announcement" aria-live="polite">
      {announcement.value}
    </p>
  );
}

function sizeFollowed(area: HTMLElement): () => void {
  const observer = new ResizeObserver(() => {
    const isFirst = canvasSize.value.widthPx === 0;
    canvasSize.value = { widthPx: area.clientWidth, heightPx: area.clientHeight };
    if (isFirst) fitShow();
  });
  observer.observe(area);
  return () => {
    observer.disconnect();
    canvasSize.value = { widthPx: 0, heightPx: 0 };
  };
}

function pointerFollowed(area: HTMLElement): () => void {
  const listening = new AbortController();
  const on = <K extends keyof HTMLElementEventMap>(
    type: K,
    listener: (event: HTMLElementEventMap[K]) => void,
    options: AddEventListenerOptions = {},
  ) => area.addEventListener(type, listener, { ...options, signal: listening.signal });

  let gesture: Gesture | undefined;
  let latest: PointerEvent | undefined;
  let frame = 0;
  let isSpaceHeld = false;

  const pointerOf = (event: MouseEvent): BenchPointer => {
    const box = area.getBoundingClientRect();
    const px = { xPx: event.clientX - box.left, yPx: event.clientY - box.top };
    return {
      px,
      mm: mmFromPx(viewport.value, px),
      isFree: event.altKey,
      isAdding: event.shiftKey || event.ctrlKey || event.metaKey,
    };
  };

  /** Pointer events come faster than frames: only the last one before a frame counts. */
  const moved = () => {
    frame = 0;
    if (!latest) return;
    const pointer = pointerOf(latest);
    pointerPosition.value = pointer.mm;
    if (gesture) gesture.moved(pointer);
    else {
      pointerHovered(pointer);
      area.dataset.cursor = isSpaceHeld ? 'pan' : cursorAt(pointer);
    }
  };

  const finished = (event: MouseEvent) => {
    cancelAnimationFrame(frame);
    frame = 0;
    if (gesture && latest) gesture.moved(pointerOf(event));
    gesture?.ended(pointerOf(event));
    gesture = undefined;
  };

  on('pointerdown', (event) => {
    if (event.button === 2) return;
    area.focus({ preventScroll: true });
    area.setPointerCapture(event.pointerId);
    latest = event;
    const pointer = pointerOf(event);
    const isPan = event.button === 1 || isSpaceHeld;
    if (isPan) event.preventDefault();
    gesture = isPan
      ? panBegun(pointer)
      : (gestureBegun(pointer) ?? (tool.value === 'select' ? panBegun(pointer) : undefined));
  });
  on('pointermove', (event) => {
    latest = event;
    if (frame === 0) frame = requestAnimationFrame(moved);
  });
  on('pointerup', finished);
  on('pointercancel', () => {
    gesture = undefined;
    draftsClear();
  });
  on('pointerleave', () => {
    latest = undefined;
    pointerPosition.value = undefined;
    hoveredId.value = undefined;
    if (!gesture && tool.value !== 'measure') draftsClear();
  });
  on(
    'wheel',
    (event) => {
      event.preventDefault();
      const unit = event.deltaMode === WheelEvent.DOM_DELTA_LINE ? LINE_PX : 1;
      const [dx, dy] = [event.deltaX * unit, event.deltaY * unit];
      const by = event.shiftKey ? { xPx: dy + dx, yPx: 0 } : { xPx: dx, yPx: 0 };
      if (by.xPx !== 0) viewChange(viewportPanned(viewport.value, by));
      if (!event.shiftKey && dy !== 0) zoomBy(Math.exp(-dy * WHEEL_ZOOM_PER_PX), pointerOf(event).px);
    },
    { passive: false },
  );
  on('keydown', (event) => {
    if (event.key === ' ') {
      event.preventDefault();
      isSpaceHeld = true;
      area.dataset.cursor = 'pan';
    }
    if (event.key === 'Escape' && gesture) {
      event.preventDefault();
      gesture = undefined;
      draftsClear();
    }
  });
  const spaceReleased = () => {
    isSpaceHeld = false;
    area.dataset.cursor = 'plain';
  };
  on('keyup', (event) => {
    if (event.key === ' ') spaceReleased();
  });
  on('blur', spaceReleased);
  return () => {
    cancelAnimationFrame(frame);
    listening.abort();
  };
}
