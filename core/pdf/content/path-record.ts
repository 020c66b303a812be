import type { Matrix } from '../page/page-space.ts';
import { PathBounds } from './path-bounds.ts';
import type { PathPlace, PathStep, Subpath } from './subpath.ts';

interface OpenSubpath {
  from: PathPlace;
  steps: PathStep[];
  isClosed: boolean;
}

const placed = (m: Matrix, x: number, y: number): PathPlace => ({
  x: m[0] * x + m[2] * y + m[4],
  y: m[1] * x + m[3] * y + m[5],
});

/** A path under construction, with its points as well, for callers that trace it. */
export class PathRecord extends PathBounds {
  #subpaths: OpenSubpath[] = [];

  /** The subpaths that have at least one segment. */
  get subpaths(): readonly Subpath[] {
    return this.#subpaths.filter(({ steps }) => steps.length > 0);
  }

  override clear(): void {
    super.clear();
    this.#subpaths = [];
  }

  override moveTo(m: Matrix, x: number, y: number): void {
    super.moveTo(m, x, y);
    this.#subpaths.push({ from: placed(m, x, y), steps: [], isClosed: false });
  }

  override lineTo(m: Matrix, x: number, y: number): void {
    super.lineTo(m, x, y);
    this.#add({ to: placed(m, x, y) });
  }

  override curveTo(m: Matrix, x1: number, y1: number, x2: number, y2: number, x3: number, y3: number): void {
    super.curveTo(m, x1, y1, x2, y2, x3, y3);
    this.#add({ to: placed(m, x3, y3), curve: [placed(m, x1, y1), placed(m, x2, y2)] });
  }

  override close(): void {
    super.close();
    const last = this.#subpaths.at(-1);
    if (last) last.isClosed = true;
  }

  /** After a subpath is closed, the next one starts at its start (ISO 32000-1, 8.5.2.1). */
  #add(step: PathStep): void {
    const last = this.#subpaths.at(-1);
    if (!last) return;
    if (last.isClosed) this.#subpaths.push({ from: last.from, steps: [step], isClosed: false });
    else last.steps.push(step);
  }
}
