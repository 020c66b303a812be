/** The extent of a shape along two perpendicular axes. Right and bottom are exclusive. */
export interface Extent {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

/** A connected patch of pixels that stands out from its surroundings. Bounds in pixels. */
export interface Shape extends Extent {
  /** Its bounds along the two diagonals: x + y from left to right, y - x from top to bottom. */
  readonly diagonal: Extent;
  /** Area in pixels. */
  readonly area: number;
  /** Pixel edges on its outline, holes included. */
  readonly outline: number;
  /** Number of row runs in it. Divided by the height, this is the number of strokes per row. */
  readonly runs: number;
  /** Number of gray levels (0 to 255) over which the shape stays the same: how sharply it stands out. */
  readonly contrast: number;
  readonly isDark: boolean;
  /** Threshold: pixels below this value belong to a dark shape, the others to a light one. */
  readonly cut: number;
}

/** Number of levels at which a plane is cut into dark and light, as a power of two. */
const LEVEL_BITS = 4;
const LEVEL_STEP = 1 << LEVEL_BITS;
const LEVELS = 256 / LEVEL_STEP - 1;
/** A shape with less contrast appears at a single cut, so it may be a faint letter or noise. */
export const FAINT_CONTRAST = 2 * LEVEL_STEP;
/** Two cuts show the same shape when their bounds agree to a pixel and their areas to this share. */
const SAME_AREA = 0.3;

export interface ShapeLimits {
  /** Minimum of the longer of width and height. */
  readonly least: number;
  readonly maxHeight: number;
  readonly maxWidth: number;
}

/**
 * Finds the shapes of a plane that stay the same over a range of levels. The plane is cut at every level into dark and
 * light, the connected patches of each half are measured, and patches that hardly change from one level to the next are
 * one shape. Flat lettering is a stable shape on any background, however the background varies; a blurred blob grows
 * from level to level and is therefore not stable.
 */
export function stableShapes(
  plane: Uint8Array,
  width: number,
  height: number,
  limits: ShapeLimits,
  /** Called at every level; it may throw to stop the search. */
  tick: () => void = () => {},
): Shape[] {
  const found: Shape[] = [];
  let open: Shape[] = [];
  const stretches = stretchesOf(plane, width, height);
  const runs = runsFor(stretches.count);
  for (let level = 1; level <= LEVELS; level++) {
    tick();
    if (!stretches.isInUse[level - 1]) {
      open = open.map((shape) => ({ ...shape, contrast: shape.contrast + LEVEL_STEP }));
      continue;
    }
    const byCorner = new Map(open.map((shape) => [cornerKey(shape), shape]));
    const continued = new Set<Shape>();
    const next = patchesAt(stretches, level, runs, limits).map((patch) => {
      const before = sameShape(patch, byCorner);
      if (!before || continued.has(before)) return patch;
      continued.add(before);
      return { ...patch, contrast: before.contrast + LEVEL_STEP };
    });
    for (const shape of open) if (!continued.has(shape)) found.push(shape);
    open = next;
  }
  found.push(...open);
  return withoutDoubles(found).map((shape) => ({
    ...shape,
    cut: shape.cut - (shape.contrast - LEVEL_STEP) / 2,
  }));
}

/** Where a shape and its outline in another shade form one letter, keeps the one that stands out more. */
function withoutDoubles(shapes: readonly Shape[]): Shape[] {
  const kept: Shape[] = [];
  const byPlace = new Map<number, Shape[]>();
  const cell = (x: number, y: number) => (y >> CELL_BITS) * 1_000_000 + (x >> CELL_BITS);
  for (const shape of shapes.toSorted((a, b) => b.contrast - a.contrast)) {
    const slack = SAME_EDGE_PX + (shape.bottom - shape.top) * SAME_EDGE_SHARE;
    const isDouble = (other: Shape) =>
      other.isDark === shape.isDark &&
      Math.abs(other.left - shape.left) <= slack &&
      Math.abs(other.top - shape.top) <= slack &&
      Math.abs(other.right - shape.right) <= slack &&
      Math.abs(other.bottom - shape.bottom) <= slack;
    const [x, y] = [(shape.left + shape.right) >> 1, (shape.top + shape.bottom) >> 1];
    const near = [-1, 0, 1].flatMap((dy) =>
      [-1, 0, 1].flatMap((dx) => byPlace.get(cell(x + (dx << CELL_BITS), y + (dy << CELL_BITS))) ?? []),
    );
    if (near.some(isDouble)) continue;
    kept.push(shape);
    byPlace.set(cell(x, y), [...(byPlace.get(cell(x, y)) ?? []), shape]);
  }
  return kept;
}

/**
 * How far apart the edges of duplicates may be, in pixels and relative to the height; also the cell size of the lookup
 * grid.
 */
const SAME_EDGE_PX = 2;
const SAME_EDGE_SHARE = 0.06;
const CELL_BITS = 5;

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

/** The rows of a plane as stretches of pixels between the same two levels. Every cut is built from them. */
interface Stretches {
  readonly height: number;
  readonly count: number;
  /** Number of the first stretch of each row. */
  readonly first: Int32Array;
  /** Where each stretch ends in its row, exclusive. */
  readonly end: Int32Array;
  /** How many levels are at or below it. */
  readonly band: Uint8Array;
  /** Whether any pixel is in a band. */
  readonly isInUse: readonly boolean[];
}

function stretchesOf(plane: Uint8Array, width: number, height: number): Stretches {
  const first = new Int32Array(height + 1);
  const end = new Int32Array(plane.length);
  const band = new Uint8Array(plane.length);
  const isInUse = new Array<boolean>(LEVELS + 1).fill(false);
  let count = 0;
  for (let y = 0; y < height; y++) {
    first[y] = count;
    const offset = y * width;
    for (let x = 0; x < width; ) {
      const here = plane[offset + x]! >> LEVEL_BITS;
      while (x < width && plane[offset + x]! >> LEVEL_BITS === here) x++;
      end[count] = x;
      band[count++] = here;
      isInUse[here] = true;
    }
  }
  first[height] = count;
  return { height, count, first, end, band, isInUse };
}

/**
 * Arrays for the runs of a cut, reused for each cut: the place of each run, and the measures of a patch at its root.
 */
interface Runs {
  readonly start: Int32Array;
  readonly end: Int32Array;
  readonly row: Int32Array;
  readonly parent: Int32Array;
  readonly outline: Int32Array;
  readonly isDark: Uint8Array;
  readonly root: Int32Array;
}

const runsFor = (count: number): Runs => ({
  start: new Int32Array(count),
  end: new Int32Array(count),
  row: new Int32Array(count),
  parent: new Int32Array(count),
  outline: new Int32Array(count),
  isDark: new Uint8Array(count),
  root: new Int32Array(count),
});

/**
 * Cuts a plane at a level and returns the patches of both halves that are large enough for lettering. Pixels connect
 * over edges and corners. Works on runs, the stretches of one half along a row: a run joins the runs of its half that
 * it touches in the row above, and the measures of each joined set are added up.
 */
function patchesAt(
  { height, first, end: stretchEnd, band }: Stretches,
  level: number,
  all: Runs,
  limits: ShapeLimits,
): Shape[] {
  const { start, end, row, parent, outline, isDark } = all;
  let runs = 0;
  let above = 0;
  for (let y = 0; y < height; y++) {
    const begin = runs;
    const last = first[y + 1]!;
    let from = 0;
    for (let s = first[y]!; s < last; ) {
      const dark = band[s]! < level;
      while (s < last && band[s]! < level === dark) s++;
      const to = stretchEnd[s - 1]!;
      start[runs] = from;
      end[runs] = to;
      row[runs] = y;
      parent[runs] = runs;
      isDark[runs] = dark ? 1 : 0;
      outline[runs++] = 2 + 2 * (to - from);
      from = to;
    }
    // The runs of both rows are sorted from left to right, so one walk along both finds every touching pair.
    let upper = above;
    for (let run = begin; run < runs; run++) {
      while (upper < begin && end[upper]! < start[run]!) upper++;
      for (let u = upper; u < begin && start[u]! <= end[run]!; u++) {
        if (isDark[u] !== isDark[run]) continue;
        const shared = Math.min(end[u]!, end[run]!) - Math.max(start[u]!, start[run]!);
        if (shared > 0) outline[run] = outline[run]! - 2 * shared;
        const [a, b] = [rootOf(parent, u), rootOf(parent, run)];
        if (a < b) parent[b] = a;
        else parent[a] = b;
      }
    }
    above = begin;
  }
  return measured(runs, all, level, limits);
}

function rootOf(parent: Int32Array, run: number): number {
  let root = run;
  while (parent[root] !== root) root = parent[root]!;
  for (let i = run; parent[i] !== root; ) {
    const next = parent[i]!;
    parent[i] = root;
    i = next;
  }
  return root;
}

/** Totals of one patch. */
interface Patch {
  left: number;
  right: number;
  readonly top: number;
  bottom: number;
  /** Bounds of x + y, and of y - x. */
  sumFrom: number;
  sumTo: number;
  stepFrom: number;
  stepTo: number;
  area: number;
  outline: number;
  runs: number;
  readonly isDark: boolean;
}

/** Patches lower than this are specks. Most patches are. */
const LEAST_TALL = 4;

/** Adds up the runs of each patch that is high and wide enough, and skips the others. */
function measured(runs: number, all: Runs, level: number, limits: ShapeLimits): Shape[] {
  const { start, end, row, parent, outline, isDark, root } = all;
  const bottom = root;
  for (let run = 0; run < runs; run++) bottom[rootOf(parent, run)] = row[run]!;
  const patches = new Map<number, Patch>();
  for (let run = 0; run < runs; run++) {
    const at = rootOf(parent, run);
    const tall = bottom[at]! + 1 - row[at]!;
    if (tall < LEAST_TALL || tall > limits.maxHeight) continue;
    const [x0, x1, y] = [start[run]!, end[run]!, row[run]!];
    let patch = patches.get(at);
    if (!patch) {
      patch = {
        left: x0,
        right: x1,
        top: y,
        bottom: bottom[at]! + 1,
        sumFrom: x0 + y,
        sumTo: x1 + y + 1,
        stepFrom: y - x1,
        stepTo: y + 1 - x0,
        area: 0,
        outline: 0,
        runs: 0,
        isDark: isDark[run] === 1,
      };
      patches.set(at, patch);
    }
    if (x0 < patch.left) patch.left = x0;
    if (x1 > patch.right) patch.right = x1;
    if (x0 + y < patch.sumFrom) patch.sumFrom = x0 + y;
    if (x1 + y + 1 > patch.sumTo) patch.sumTo = x1 + y + 1;
    if (y - x1 < patch.stepFrom) patch.stepFrom = y - x1;
    if (y + 1 - x0 > patch.stepTo) patch.stepTo = y + 1 - x0;
    patch.area += x1 - x0;
    patch.outline += outline[run]!;
    patch.runs++;
  }
  return [...patches.values()]
    .filter(({ left, right }) => right - left <= limits.maxWidth)
    .filter(({ left, right, top, bottom }) => Math.max(right - left, bottom - top) >= limits.least)
    .map(({ sumFrom, sumTo, stepFrom, stepTo, ...patch }) => ({
      ...patch,
      diagonal: {
        left: sumFrom * Math.SQRT1_2,
        right: sumTo * Math.SQRT1_2,
        top: stepFrom * Math.SQRT1_2,
        bottom: stepTo * Math.SQRT1_2,
      },
      contrast: LEVEL_STEP,
      cut: level * LEVEL_STEP,
    }));
}
