/** The canvas with its rulers: draws through BenchDrawing and turns pointer and wheel into gestures. */
import type { RefObject } from 'preact';
import { useEffect, useId, useRef } from 'preact/hooks';
import { elementOf } from '../parts/elements.ts';
import { viewPanel } from '../state/dialogs.ts';
import { job } from '../state/open-job.ts';
import { BenchDrawing } from './bench-drawing.ts';
import { BenchMenu, openBenchMenu } from './bench-menu.tsx';
import { beginGesture, beginPan, cursorAt, hover, selectAt } from './bench-pointer.ts';
import {
  announcement,
  canvasSize,
  changeView,
  clearDrafts,
  hoveredId,
  readout,
  resizeCanvas,
  selection,
  tool,
  viewport,
  zoomBy,
} from './bench-state.ts';
import { followCanvasFocus } from './canvas-focus.ts';
import type { BenchPointer, Gesture } from './gesture.ts';
import { followLoupe, LOUPE_PX, loupe, loupeCorner, loupeLines, loupeView } from './loupe.ts';
import { pointerPosition } from './pointer-position.ts';
import { RemoveLineDialog } from './remove-item.tsx';
import { mmFromPx, viewportPanned } from './viewport.ts';

/** Zoom per pixel of wheel travel: one notch of 100 px is about a fifth. */
const WHEEL_ZOOM_PER_PX = 0.0018;
const LINE_PX = 16;
const MENU_BY_KEY_PX = 24;

export function BenchCanvas({ label }: { readonly label: string }) {
  const area = useRef<HTMLDivElement>(null);
  const canvas = useRef<HTMLCanvasElement>(null);
  const glass = useRef<HTMLCanvasElement>(null);
  const lines = useRef<HTMLDivElement>(null);
  const topRuler = useRef<HTMLDivElement>(null);
  const leftRuler = useRef<HTMLDivElement>(null);
  const helpId = useId();

  useEffect(() => {
    const drawing = new BenchDrawing({
      canvas: elementOf(canvas),
      loupe: elementOf(glass),
      lines: elementOf(lines),
      topRuler: elementOf(topRuler),
      leftRuler: elementOf(leftRuler),
    });
    const forgetSize = followSize(elementOf(area));
    const forgetPointer = followPointer(elementOf(area));
    const forgetFocus = followCanvasFocus(elementOf(area));
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
        <LoupeView glass={glass} />
        <Readout />
      </div>
      <BenchMenu />
      <RemoveLineDialog />
      <p id={helpId} class="screen-reader-only">
        Arrow keys go from panel to panel. With a seam selected, arrow keys across it move it. F1 lists all
        shortcuts.
      </p>
    </div>
  );
}

/** The bench draws the content; this positions it beside the pointer, with the lines that cross it. */
function LoupeView({ glass }: { readonly glass: RefObject<HTMLCanvasElement | null> }) {
  const now = loupe.value;
  const corner = now && loupeCorner(now.at, canvasSize.value, readout.value?.lines.length ?? 0);
  const view = now && loupeView(now, viewport.value);
  const style = corner && { transform: `translate(${corner.xPx}px, ${corner.yPx}px)` };
  const middle = LOUPE_PX / 2;
  return (
    <div class="loupe" aria-hidden="true" hidden={!now} style={style ?? {}}>
      <canvas ref={glass} />
      <svg viewBox={`0 0 ${LOUPE_PX} ${LOUPE_PX}`} aria-hidden="true" focusable="false">
        {view &&
          loupeLines(view).map(({ d, isGuide }) => <path key={d} class={isGuide ? 'is-guide' : ''} d={d} />)}
        <path
          class="loupe-cross"
          d={`M${middle - 14} ${middle}h10m8 0h10M${middle} ${middle - 14}v10m0 8v10`}
        />
      </svg>
    </div>
  );
}

/** Text beside the pointer during a drag. */
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

/** The last announcement, shown below the canvas and read out by screen readers. */
export function Announcement() {
  return (
    <p class="announcement" aria-live="polite" title={announcement.value}>
      {announcement.value}
    </p>
  );
}

function followSize(area: HTMLElement): () => void {
  const observer = new ResizeObserver(() => {
    resizeCanvas({ widthPx: area.clientWidth, heightPx: area.clientHeight });
  });
  observer.observe(area);
  return () => {
    observer.disconnect();
    canvasSize.value = { widthPx: 0, heightPx: 0 };
  };
}

function followPointer(area: HTMLElement): () => void {
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

  /** Pointer events arrive faster than frames: only the last one before a frame counts. */
  const move = () => {
    frame = 0;
    if (!latest) return;
    const pointer = pointerOf(latest);
    pointerPosition.value = pointer.mm;
    if (gesture) gesture.move(pointer);
    else {
      hover(pointer);
      area.dataset.cursor = isSpaceHeld ? 'pan' : cursorAt(pointer);
    }
    followLoupe(pointer);
  };

  const finish = (event: MouseEvent) => {
    cancelAnimationFrame(frame);
    frame = 0;
    if (gesture && latest) gesture.move(pointerOf(event));
    gesture?.end(pointerOf(event));
    gesture = undefined;
    loupe.value = undefined;
  };

  on('contextmenu', (event) => {
    event.preventDefault();
    area.focus({ preventScroll: true });
    const box = area.getBoundingClientRect();
    // The menu key has no pointer position: its menu opens at the corner of the canvas.
    const isByKey = event.button !== 2;
    if (!isByKey) selectAt(pointerOf(event));
    openBenchMenu(
      isByKey
        ? { xPx: box.left + MENU_BY_KEY_PX, yPx: box.top + MENU_BY_KEY_PX }
        : { xPx: event.clientX, yPx: event.clientY },
    );
  });
  on('dblclick', (event) => {
    selectAt(pointerOf(event));
    const chosen = selection.value;
    if (chosen.kind === 'panel' && tool.value === 'select' && job.value?.artwork) viewPanel(chosen.panelId);
  });
  on('pointerdown', (event) => {
    if (event.button === 2) return;
    area.focus({ preventScroll: true });
    area.setPointerCapture(event.pointerId);
    latest = event;
    const pointer = pointerOf(event);
    const isPan = event.button === 1 || isSpaceHeld;
    if (isPan) event.preventDefault();
    gesture = isPan
      ? beginPan(pointer)
      : (beginGesture(pointer) ?? (tool.value === 'select' ? beginPan(pointer) : undefined));
  });
  on('pointermove', (event) => {
    latest = event;
    if (frame === 0) frame = requestAnimationFrame(move);
  });
  on('pointerup', finish);
  on('pointercancel', () => {
    gesture = undefined;
    clearDrafts();
  });
  on('pointerleave', () => {
    latest = undefined;
    pointerPosition.value = undefined;
    loupe.value = undefined;
    hoveredId.value = undefined;
    if (!gesture && tool.value !== 'measure') clearDrafts();
  });
  on(
    'wheel',
    (event) => {
      event.preventDefault();
      const unit = event.deltaMode === WheelEvent.DOM_DELTA_LINE ? LINE_PX : 1;
      const [dx, dy] = [event.deltaX * unit, event.deltaY * unit];
      const by = event.shiftKey ? { xPx: dy + dx, yPx: 0 } : { xPx: dx, yPx: 0 };
      if (by.xPx !== 0) changeView(viewportPanned(viewport.value, by));
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
      clearDrafts();
    }
  });
  const releaseSpace = () => {
    isSpaceHeld = false;
    area.dataset.cursor = 'plain';
  };
  on('keyup', (event) => {
    if (event.key === ' ') releaseSpace();
  });
  on('blur', releaseSpace);
  return () => {
    cancelAnimationFrame(frame);
    listening.abort();
  };
}
