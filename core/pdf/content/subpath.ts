/** A place in the page's default user space. */
export interface PathPlace {
  readonly x: number;
  readonly y: number;
}

/** A segment that ends at `to`: straight, or a Bézier curve with two control points. */
export interface PathStep {
  readonly to: PathPlace;
  readonly curve?: readonly [PathPlace, PathPlace];
}

export interface Subpath {
  readonly from: PathPlace;
  readonly steps: readonly PathStep[];
  readonly isClosed: boolean;
}
