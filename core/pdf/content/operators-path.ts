import { enterPatterns } from './pattern-walk.ts';
import type { OperatorTable, StreamWalk } from './stream-walk.ts';

/** Path construction and painting, ISO 32000-1, 8.5. */
export const PATH_OPERATORS: OperatorTable = {
  m: (at) => {
    const { reader, path } = beginPath(at);
    const n = reader.count;
    path.moveTo(at.state.ctm, reader.number(n - 2), reader.number(n - 1));
  },
  l: (at) => {
    const { reader, path } = beginPath(at);
    const n = reader.count;
    path.lineTo(at.state.ctm, reader.number(n - 2), reader.number(n - 1));
  },
  c: (at) => {
    const { reader, path } = beginPath(at);
    const n = reader.count;
    path.curveTo(
      at.state.ctm,
      reader.number(n - 6),
      reader.number(n - 5),
      reader.number(n - 4),
      reader.number(n - 3),
      reader.number(n - 2),
      reader.number(n - 1),
    );
  },
  v: (at) => {
    const { reader, path } = beginPath(at);
    const n = reader.count;
    path.curveFromCurrent(
      at.state.ctm,
      reader.number(n - 4),
      reader.number(n - 3),
      reader.number(n - 2),
      reader.number(n - 1),
    );
  },
  y: (at) => {
    const { reader, path } = beginPath(at);
    const n = reader.count;
    const x3 = reader.number(n - 2);
    const y3 = reader.number(n - 1);
    path.curveTo(at.state.ctm, reader.number(n - 4), reader.number(n - 3), x3, y3, x3, y3);
  },
  h: (at) => beginPath(at).path.close(),
  re: (at) => {
    const { reader, path } = beginPath(at);
    const n = reader.count;
    path.addRectangle(
      at.state.ctm,
      reader.number(n - 4),
      reader.number(n - 3),
      reader.number(n - 2),
      reader.number(n - 1),
    );
  },
  W: (at) => markClipPending(at),
  'W*': (at) => markClipPending(at),
  n: (at) => endPath(at, false, false),
  f: (at) => endPath(at, true, false),
  F: (at) => endPath(at, true, false),
  'f*': (at) => endPath(at, true, false),
  S: (at) => endPath(at, false, true),
  s: (at) => endPath(at, false, true, true),
  B: (at) => endPath(at, true, true),
  'B*': (at) => endPath(at, true, true),
  b: (at) => endPath(at, true, true, true),
  'b*': (at) => endPath(at, true, true, true),
};

function beginPath(at: StreamWalk): StreamWalk {
  if (at.pathStart < 0) {
    at.pathStart = at.start;
    at.isPathInterrupted = false;
  }
  return at;
}

function markClipPending(at: StreamWalk): void {
  beginPath(at).isClipPending = true;
}

function endPath(
  at: StreamWalk,
  isFilled: boolean,
  isStroked: boolean,
  isClosed = false,
): void | Promise<void> {
  const { path, state } = at;
  if (isClosed) path.close();
  let pending: Promise<void> | undefined;
  if ((isFilled || isStroked) && at.pathStart >= 0) {
    const bounds = isStroked ? path.strokeBox(state) : path.fillBox;
    const painted = at.painted('path', bounds, {
      isFilled,
      isStroked,
      start: at.pathStart,
      isSelfContained: !at.isPathInterrupted && !at.isClipPending,
    });
    at.walk.visitor.onPainted?.(painted);
    if (state.fill.pattern !== undefined || state.stroke.pattern !== undefined) {
      pending = enterPatterns(at, painted);
    }
  }
  // A clip to a path without points would hide the rest of the page; readers disagree, so the clip is kept. Where a
  // pattern paints the path, some renderers lose the clip, so nothing may be left out because it is outside.
  const isPatterned =
    (isFilled && state.fill.space.family === 'Pattern') ||
    (isStroked && state.stroke.space.family === 'Pattern');
  if (at.isClipPending && !path.isEmpty && !isPatterned) at.clipTo(path.fillBox);
  path.clear();
  at.pathStart = -1;
  at.isClipPending = false;
  return pending;
}
