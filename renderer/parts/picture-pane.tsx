/** A picture for close inspection: fitted or enlarged, scrolled, and redrawn sharper when enlarged. */
import type { ComponentChildren } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import type { Picture as PictureBytes } from '../../core/contract/parts.ts';
import { present } from '../../core/measure/present.ts';
import type { Rect } from '../../core/measure/rect.ts';
import type { Problem, Result } from '../../core/measure/result.ts';
import { Button } from './button.tsx';
import { elementOf } from './elements.ts';
import { Picture } from './picture.tsx';

/** A millimeter in the pixels of a style sheet: 96 to the inch. */
const TRUE_SIZE_PX = 96 / 25.4;
const ZOOM_STEP = 1.5;
const MOST_PX_PER_MM = 8;
const MOST_PICTURE_PX = 4096;
/** The picture is redrawn where it would be enlarged by more than this. */
const SOFT_FROM = 1.25;

interface PicturePaneProps {
  /** The visible part, in mm from its upper left corner. */
  readonly widthMm: number;
  readonly heightMm: number;
  readonly label: string;
  /** Identifies the picture: when it changes, the earlier one is dropped. */
  readonly name: string;
  /** Whether the size of a millimeter is known, so that true size can be shown; absent: yes. */
  readonly isToScale?: boolean;
  /** Whether it is always drawn whole, because drawing a part takes as long; absent: no. */
  readonly isWhole?: boolean;
  readonly className?: string;
  /** Drawn over the picture, in mm at this many pixels each. */
  readonly over?: (pxPerMm: number) => ComponentChildren;
  draw(window: Rect, widthPx: number, signal: AbortSignal): Promise<Result<PictureBytes, Problem>>;
}

interface Piece {
  readonly name: string;
  readonly window: Rect;
  readonly picture: PictureBytes | null;
}

export function PicturePane({
  widthMm,
  heightMm,
  label,
  name,
  isToScale = true,
  isWhole = false,
  className = '',
  over,
  draw,
}: PicturePaneProps) {
  const pane = useRef<HTMLDivElement>(null);
  const [room, setRoom] = useState({ widthPx: 0, heightPx: 0 });
  const [zoomed, setZoomed] = useState<number>();
  const [whole, setWhole] = useState<Piece>();
  const [sharp, setSharp] = useState<Piece>();
  const [problem, setProblem] = useState<Problem>();
  const fitted = Math.min((room.widthPx - 4) / widthMm, (room.heightPx - 4) / heightMm);
  const pxPerMm = zoomed ?? Math.max(fitted, 0.001);
  const dots = window.devicePixelRatio || 1;

  useEffect(() => {
    const observer = new ResizeObserver(([entry]) => {
      const { width, height } = present(entry, 'What has another size').contentRect;
      setRoom({ widthPx: width, heightPx: height });
    });
    observer.observe(elementOf(pane));
    return () => observer.disconnect();
  }, []);

  const wholePx = Math.max(1, Math.min(MOST_PICTURE_PX, Math.round(fitted * widthMm * dots)));
  const isMeasured = room.widthPx > 0;
  useEffect(() => {
    if (!isMeasured) return;
    const abort = new AbortController();
    const area = { x: 0, y: 0, width: widthMm, height: heightMm };
    setProblem(undefined);
    void draw(area, wholePx, abort.signal).then((drawn) => {
      if (abort.signal.aborted) return;
      setWhole({ name, window: area, picture: drawn.ok ? drawn.value : null });
      if (!drawn.ok) setProblem(drawn.problem);
    });
    return () => abort.abort();
    // The whole picture is drawn once; enlarged parts are drawn below.
  }, [name, isMeasured]);

  const drawSharp = useRef<AbortController | undefined>(undefined);
  const sharpen = () => {
    drawSharp.current?.abort();
    const box = pane.current;
    if (!box || !whole?.picture || pxPerMm * dots * widthMm < whole.picture.widthPx * SOFT_FROM) return;
    const abort = new AbortController();
    drawSharp.current = abort;
    const seen: Rect = isWhole
      ? whole.window
      : {
          x: Math.max(0, box.scrollLeft / pxPerMm),
          y: Math.max(0, box.scrollTop / pxPerMm),
          width: Math.min(widthMm, box.clientWidth / pxPerMm),
          height: Math.min(heightMm, box.clientHeight / pxPerMm),
        };
    const widthPx = Math.max(1, Math.min(MOST_PICTURE_PX, Math.round(seen.width * pxPerMm * dots)));
    void draw(seen, widthPx, abort.signal).then((drawn) => {
      if (!abort.signal.aborted && drawn.ok) setSharp({ name, window: seen, picture: drawn.value });
    });
  };
  useEffect(() => {
    sharpen();
    return () => drawSharp.current?.abort();
  }, [name, pxPerMm, whole]);

  const px = (mm: number) => `${mm * pxPerMm}px`;
  const isCurrent = (piece: Piece | undefined): piece is Piece => piece?.name === name;
  return (
    <div class="picture-pane">
      <div class="picture-pane-zoom">
        <Button
          title="Zoom out"
          spoken="Zoom out"
          isDisabled={pxPerMm <= fitted * 1.001}
          onClick={() => setZoomed(Math.max(fitted, pxPerMm / ZOOM_STEP))}
        >
          −
        </Button>
        {isToScale && (
          <output aria-label="Zoom" title="Share of the true size">
            {((pxPerMm / TRUE_SIZE_PX) * 100).toFixed(pxPerMm < TRUE_SIZE_PX / 10 ? 1 : 0)} %
          </output>
        )}
        <Button
          title="Zoom in"
          spoken="Zoom in"
          isDisabled={pxPerMm >= MOST_PX_PER_MM}
          onClick={() => setZoomed(Math.min(MOST_PX_PER_MM, pxPerMm * ZOOM_STEP))}
        >
          +
        </Button>
        <Button isPressed={zoomed === undefined} onClick={() => setZoomed(undefined)}>
          Fit
        </Button>
        {isToScale && (
          <Button isPressed={zoomed === TRUE_SIZE_PX} onClick={() => setZoomed(TRUE_SIZE_PX)}>
            True size
          </Button>
        )}
      </div>
      <section
        ref={pane}
        class="picture-pane-room"
        aria-label={`${label}, which scrolls`}
        // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard.
        tabIndex={0}
        onScroll={sharpen}
      >
        {problem ? (
          <p role="alert">
            {problem.message} <span class="quiet">{problem.remedy}</span>
          </p>
        ) : (
          <div class="picture-pane-paper" style={{ width: px(widthMm), height: px(heightMm) }}>
            <Picture
              picture={isCurrent(whole) ? whole.picture : undefined}
              label={label}
              className={`picture-pane-whole ${className}`}
            />
            {isCurrent(sharp) && isCurrent(whole) && (
              <div
                class="picture-pane-sharp"
                style={{
                  left: px(sharp.window.x),
                  top: px(sharp.window.y),
                  width: px(sharp.window.width),
                  height: px(sharp.window.height),
                }}
              >
                <Picture picture={sharp.picture} label="" className="picture-pane-whole" />
              </div>
            )}
            {over?.(pxPerMm)}
          </div>
        )}
      </section>
    </div>
  );
}
