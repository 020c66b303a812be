import { MM_PER_INCH, type Mm } from '../measure/units.ts';
import {
  busyMetersAt,
  energyAlong,
  type PictureEnergy,
  pictureEnergyFromBusy,
  registerBand,
} from './picture-energy.ts';
import type { JointShape } from './plan-side.ts';
import { assertRaster, rasterPlanes, type SideRaster } from './raster.ts';
import type { SeamAxis } from './seam-place.ts';

/** A step of this height (of 255) between neighboring areas is a full edge: a shift there is always visible. */
const FULL_EDGE = 96;
/** Gradients below this multiple of the noise count as noise. */
const NOISE_FACTOR = 3;
/** Upper limit of the noise level, else a busy photograph would count as a noisy flat. */
const MOST_NOISE = 8;

/**
 * How busy a rendering is, pixel by pixel.
 *
 * The gradient is Sobel's: differences across, smoothed along, so that one pixel of noise weighs little. The noise
 * level is the median gradient (most of any artwork is flat), held under a limit; values up to three times that are
 * zero, and the rest rises linearly to 1 at a full edge. The busiest color plane counts, because red lettering on a
 * green of the same gray must register too.
 */
export function pictureEnergyFromRaster(raster: SideRaster, tick: () => void = () => {}): PictureEnergy {
  assertRaster(raster);
  const { width, height } = raster;
  const gradient = new Float32Array(width * height);
  for (const plane of rasterPlanes(raster)) {
    tick();
    raiseToGradient(gradient, plane, width, height);
  }
  const floor = NOISE_FACTOR * Math.min(MOST_NOISE, medianGradient(gradient));
  for (let i = 0; i < gradient.length; i++) {
    gradient[i] = Math.min(1, Math.max(0, gradient[i]! - floor) / (FULL_EDGE - floor));
  }
  return pictureEnergyFromBusy(gradient, width, height, MM_PER_INCH / raster.ppi);
}

function raiseToGradient(out: Float32Array, plane: Uint8Array, width: number, height: number): void {
  for (let y = 0; y < height; y++) {
    const above = Math.max(0, y - 1) * width;
    const here = y * width;
    const below = Math.min(height - 1, y + 1) * width;
    for (let x = 0; x < width; x++) {
      const left = Math.max(0, x - 1);
      const right = Math.min(width - 1, x + 1);
      const across =
        plane[above + right]! -
        plane[above + left]! +
        2 * (plane[here + right]! - plane[here + left]!) +
        plane[below + right]! -
        plane[below + left]!;
      const down =
        plane[below + left]! -
        plane[above + left]! +
        2 * (plane[below + x]! - plane[above + x]!) +
        plane[below + right]! -
        plane[above + right]!;
      // Divided by 4, a straight edge of height h gives h.
      const value = Math.hypot(across, down) / 4;
      if (value > out[here + x]!) out[here + x] = value;
    }
  }
}

function medianGradient(gradient: Float32Array): number {
  const STEPS_PER_LEVEL = 8;
  const counts = new Uint32Array(512 * STEPS_PER_LEVEL);
  for (const value of gradient) {
    const step = Math.min(counts.length - 1, Math.round(value * STEPS_PER_LEVEL));
    counts[step] = counts[step]! + 1;
  }
  let seen = 0;
  for (const [step, count] of counts.entries()) {
    seen += count;
    if (2 * seen >= gradient.length) return step / STEPS_PER_LEVEL;
  }
  return 0;
}

/** A curve for the rulers: how much picture a seam would have to register at each step along an axis. */
export interface QuietLines {
  readonly axis: SeamAxis;
  readonly stepMm: Mm;
  /** Pixels per inch of the rendering, at finished size. */
  readonly ppi: number;
  /** Meters of full-contrast picture across a seam at 0, step, 2 · step… */
  readonly busyMeters: Float64Array;
}

/** The quiet-line profile of an axis for seams `from`..`to` across it, with the lap band of `joint`. */
export function quietLines(
  energy: PictureEnergy,
  axis: SeamAxis,
  from: Mm,
  to: Mm,
  joint: Pick<JointShape, 'first' | 'second'>,
  stepMm: Mm = energy.cellMm,
): QuietLines {
  const along = energyAlong(energy, axis, from, to);
  const band = registerBand(joint.first, joint.second);
  const length = (axis === 'vertical' ? energy.columns : energy.rows) * energy.cellMm;
  const count = Math.floor(length / stepMm) + 1;
  const busy = Float64Array.from({ length: count }, (_, i) =>
    busyMetersAt(along, energy.cellMm, i * stepMm, band),
  );
  return { axis, stepMm, ppi: MM_PER_INCH / energy.cellMm, busyMeters: busy };
}
