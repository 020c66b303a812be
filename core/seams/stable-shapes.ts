/** A connected patch of pixels that stands out from what is round it. Bounds in pixels, right and bottom exclusive. */
export interface Shape {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
  /** Pixels. */
  readonly area: number;
  /** Pixel edges on its outline, holes included. */
  readonly outline: number;
  /** Gray levels over which it keeps its shape: how sharply it stands out, 0 to 255. */
  readonly contrast: number;
  readonly isDark: boolean;
}

/** Levels at which a plane is cut into dark and light; a shape that stands out by 64 shows at two of them at least. */
const LEVEL_STEP = 32;
/** Two cuts show the same shape when its bounds agree to a pixel and its area to this share. */
const SAME_AREA = 0.2;

export interface ShapeLimits {
  readonly minHeight: number;
  readonly maxHeight: number;
  readonly maxWidth: number;
}

/**
 * The shapes of a plane that stay the same over a range of levels. The plane is cut at every level into dark and light,
 * the connected patches of each half are measured, and patches that hardly change from one level to the next are one
 * shape. Flat lettering is such a shape on any background, however the background varies; a blurred blob grows from
 * level to level and is not.
 */
export function stableShapes(
  plane: Uint8Array,
  width: number,
  height: number,
  limits: ShapeLimits,
  /** Called at every level; it may throw to end the work. */
  tick: () => void = () => {},
): Shape[] {
  const found: Shape[] = [];
  let open: Shape[] = [];
  for (let level = LEVEL_STEP; level < 256; level += LEVEL_STEP) {
    tick();
    const byCorner = new Map(open.map((shape) => [cornerKey(shape), shape]));
    const continued = new Set<Shape>();
    const next = patchesAt(plane, width, height, level, limits).map((patch) => {
      const before = sameShape(patch, byCorner);
      if (!before || continued.has(before)) return patch;
      continued.add(before);
      return { ...patch, contrast: before.contrast + LEVEL_STEP };
    });
    for (const shape of open) if (!continued.has(shape)) found.push(shape);
    open = next;
  }
  found.push(...open);
  return found.filter(({ contrast }) => contrast >= 2 * LEVEL_STEP);
}

type Corner = Pick<Shape, 'left' | 'top' | 'isDark'>;
const cornerKey = ({ left, top, isDark }: Corner): number => 2 * (top * 1_000_000 + left) + (isDark ? 1 : 0);

function sameShape(patch: Shape, byCorner: ReadonlyMap<number, Shape>): Shape | undefined {
  for (let dy = -1; dy <= 1; dy++) {
    for (let dx = -1; dx <= 1; dx++) {
      const other = byCorner.get(cornerKey({ ...patch, left: patch.left + dx, top: patch.top + dy }));
      const isSame =
        other &&
        Math.abs(other.right - patch.right) <= 1 &&
        Math.abs(other.bottom - patch.bottom) <= 1 &&
        Math.abs(other.area - patch.area) <= SAME_AREA * Math.max(other.area, patch.area);
      if (isSame) return other;
    }
  }
  return undefined;
}

/**
 * The patches of both halves of a plane cut at a level, joined over edges and corners, that are as large as lettering
 * may be. Works on runs, the stretches of one half along a row: a run joins the runs of its half that it touches in the
 * row above, and what they measure is added up at the root of each joined set.
 */
function patchesAt(
  plane: Uint8Array,
  width: number,
  height: number,
  level: number,
  limits: ShapeLimits,
): Shape[] {
  const count = runCount(plane, width, height, level);
  const start = new Int32Array(count);
  const end = new Int32Array(count);
  const row = new Int32Array(count);
  const parent = new Int32Array(count);
  const outline = new Int32Array(count);
  const dark = new Uint8Array(count);
  const find = (run: number): number => {
    let root = run;
    while (parent[root] !== root) root = parent[root]!;
    for (let i = run; parent[i] !== root; ) {
      const next = parent[i]!;
      parent[i] = root;
      i = next;
    }
    return root;
  };

  let runs = 0;
  let above = 0;
  for (let y = 0; y < height; y++) {
    const first = runs;
    const offset = y * width;
    for (let x = 0; x < width; ) {
      const isDark = plane[offset + x]! < level;
      const from = x;
      while (x < width && plane[offset + x]! < level === isDark) x++;
      start[runs] = from;
      end[runs] = x;
      row[runs] = y;
      parent[runs] = runs;
      dark[runs] = isDark ? 1 : 0;
      outline[runs] = 2 + 2 * (x - from);
      runs++;
    }
    // Both rows' runs lie from left to right, so one walk along both meets every pair that touches.
    let upper = above;
    for (let run = first; run < runs; run++) {
      while (upper < first && end[upper]! < start[run]!) upper++;
      for (let u = upper; u < first && start[u]! <= end[run]!; u++) {
        if (dark[u] !== dark[run]) continue;
        const shared = Math.min(end[u]!, end[run]!) - Math.max(start[u]!, start[run]!);
        if (shared > 0) outline[run] = outline[run]! - 2 * shared;
        const [a, b] = [find(u), find(run)];
        if (a < b) parent[b] = a;
        else parent[a] = b;
      }
    }
    above = first;
  }
  return measured(runs, { start, end, row, outline, dark }, find, limits);
}

interface Runs {
  readonly start: Int32Array;
  readonly end: Int32Array;
  readonly row: Int32Array;
  readonly outline: Int32Array;
  readonly dark: Uint8Array;
}

/** Adds up the runs of each patch. Roots come first among their runs, because a join keeps the smaller number. */
function measured(
  runs: number,
  { start, end, row, outline, dark }: Runs,
  find: (run: number) => number,
  limits: ShapeLimits,
): Shape[] {
  const left = start.slice();
  const right = end.slice();
  const bottom = row.slice();
  const area = new Int32Array(runs);
  const edge = outline.slice();
  const roots: number[] = [];
  for (let run = 0; run < runs; run++) {
    const root = find(run);
    area[root] = area[root]! + end[run]! - start[run]!;
    if (root === run) {
      roots.push(root);
      continue;
    }
    edge[root] = edge[root]! + outline[run]!;
    if (start[run]! < left[root]!) left[root] = start[run]!;
    if (end[run]! > right[root]!) right[root] = end[run]!;
    if (row[run]! > bottom[root]!) bottom[root] = row[run]!;
  }
  return roots.flatMap((root): Shape[] => {
    const [tall, wide] = [bottom[root]! + 1 - row[root]!, right[root]! - left[root]!];
    if (tall < limits.minHeight || tall > limits.maxHeight || wide > limits.maxWidth) return [];
    return [
      {
        left: left[root]!,
        top: row[root]!,
        right: right[root]!,
        bottom: bottom[root]! + 1,
        area: area[root]!,
        outline: edge[root]!,
        contrast: LEVEL_STEP,
        isDark: dark[root] === 1,
      },
    ];
  });
}

function runCount(plane: Uint8Array, width: number, height: number, level: number): number {
  let count = height;
  for (let y = 0; y < height; y++) {
    const offset = y * width;
    for (let x = 1; x < width; x++) {
      if (plane[offset + x]! < level !== plane[offset + x - 1]! < level) count++;
    }
  }
  return count;
}
