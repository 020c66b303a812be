import type { Matrix } from '../page/page-space.ts';
import { cutOnWholePoint, type EdgeScale, edgeScales } from './image-cut-edges.ts';
import type { FilterParms, ImageForm } from './image-form.ts';
import { type ImageProblem, imageProblem } from './image-problem.ts';
import { isPixelWindowWhole, type PixelSize, type PixelWindow } from './pixel-window.ts';
import type { CropPredictor } from './raster-window.ts';

/** Pixels beyond the window, on every side, that a renderer's interpolation may use. */
export const SLACK_PIXELS = 3;

/** The part that one panel takes of an image and of its masks. */
export interface ImageCropPlan {
  /**
   * Pixels to keep, in each picture's own pixels: first the image, then each mask. All cover the same part of the unit
   * square.
   */
  readonly crops: readonly PixelWindow[];
  /** Whether the crops are the whole images, so that the originals can be used unchanged. */
  readonly isWhole: boolean;
  /** Why the image stays whole although the window is smaller. */
  readonly note?: ImageProblem;
}

/**
 * Plans crops of an image and of its masks (SMask, Mask stream), which may have other pixel sizes but cover the same
 * unit square (ISO 32000-1, 8.9.6.3 and 11.6.5.3). Each cut is on an edge of a pixel or coded unit in all of them, so
 * that they stay exactly registered.
 *
 * `windows` are pixels of the image without slack. If there are no masks, give the image alone. `placements` map, for
 * each window, the image's unit square to the panel's page in points; with them, cuts are at whole points where
 * possible (`cutOnWholePoint`).
 */
export function imageCropPlans(
  forms: readonly [ImageForm, ...ImageForm[]],
  windows: readonly PixelWindow[],
  { slack = SLACK_PIXELS, placements = [] }: { slack?: number; placements?: readonly Matrix[] } = {},
): readonly ImageCropPlan[] {
  return windows.map((pixels, i) => imageCropPlan(forms, { pixels, slack, placement: placements[i] }));
}

interface Wanted {
  readonly pixels: PixelWindow;
  readonly slack: number;
  readonly placement: Matrix | undefined;
}

function imageCropPlan(forms: readonly [ImageForm, ...ImageForm[]], wanted: Wanted): ImageCropPlan {
  const joint = jointCrops(forms, wanted);
  const isWhole = isPixelWindowWhole(joint[0]!, forms[0].image);
  if (!isWhole || forms.length === 1) return { crops: joint, isWhole };
  const alone = jointCrops([forms[0]], wanted);
  if (isPixelWindowWhole(alone[0]!, forms[0].image)) return { crops: joint, isWhole };
  const sizes = forms.map(({ image }) => `${image.width} × ${image.height}`).join(', ');
  const message = `The image and its masks (${sizes} pixels) have no pixel edges in common at which to cut.`;
  return { crops: joint, isWhole, note: imageProblem('image-masks-unregistered', message) };
}

function jointCrops(
  forms: readonly [ImageForm, ...ImageForm[]],
  { pixels, slack, placement }: Wanted,
): readonly PixelWindow[] {
  const scales = placement && edgeScales(placement, forms[0].image);
  const across = jointCuts(
    forms.map((form) => axisOf(form, 'x')),
    { first: pixels.x, end: pixels.x + pixels.width, slack, scale: scales?.x },
  );
  const down = jointCuts(
    forms.map((form) => axisOf(form, 'y')),
    { first: pixels.y, end: pixels.y + pixels.height, slack, scale: scales?.y },
  );
  return forms.map((_, i) => ({
    x: across[i]!.start,
    y: down[i]!.start,
    width: across[i]!.end - across[i]!.start,
    height: down[i]!.end - down[i]!.start,
  }));
}

interface Axis {
  /** Pixels along the axis. */
  readonly size: number;
  /** Cuts are possible at multiples of this, and at the end. */
  readonly step: number;
  /** How many pixels past a pixel the decoder reads. */
  readonly reach: number;
}

function axisOf(form: ImageForm, direction: 'x' | 'y'): Axis {
  const size = direction === 'x' ? form.image.width : form.image.height;
  if (form.kind !== 'jpeg') return { size, step: 1, reach: 0 };
  const { frame } = form;
  return direction === 'x'
    ? { size, step: frame.mcuWidth, reach: frame.reachX }
    : { size, step: frame.mcuHeight, reach: frame.reachY };
}

/**
 * Start and end of the crop on each axis; `first` to `end` are pixels of the first axis.
 *
 * A cut at pixel x of W is also a cut of a mask with M pixels and step m if x · M ÷ W is a multiple of m, that is, if x
 * is a multiple of m · W ÷ gcd(m · W, M).
 */
function jointCuts(
  axes: readonly Axis[],
  { first, end, slack, scale }: { first: number; end: number; slack: number; scale: EdgeScale | undefined },
): readonly { readonly start: number; readonly end: number }[] {
  const size = axes[0]!.size;
  let step = 1;
  let low = first;
  let high = end;
  for (const axis of axes) {
    const scaled = axis.step * size;
    step = leastCommonMultiple(step, scaled / greatestCommonDivisor(scaled, axis.size));
    const margin = slack + axis.reach;
    low = Math.min(low, ((Math.floor((first * axis.size) / size) - margin) * size) / axis.size);
    high = Math.max(high, ((Math.ceil((end * axis.size) / size) + margin) * size) / axis.size);
  }
  let start = Math.max(0, Math.floor(low / step) * step);
  let stop = Math.min(size, Math.ceil(high / step) * step);
  if (scale) {
    const crop = { size, length: stop - start };
    start = cutOnWholePoint(start, -1, step, crop, scale);
    stop = cutOnWholePoint(stop, 1, step, crop, scale);
  }
  return axes.map((axis) => ({ start: (start * axis.size) / size, end: (stop * axis.size) / size }));
}

function greatestCommonDivisor(a: number, b: number): number {
  return b === 0 ? a : greatestCommonDivisor(b, a % b);
}

const leastCommonMultiple = (a: number, b: number): number => (a / greatestCommonDivisor(a, b)) * b;

/** The dictionary entries that a crop changes; all others stay as they are. DecodeParms undefined: leave the key out. */
export interface CropEntries {
  readonly Width: number;
  readonly Height: number;
  readonly Filter: 'DCTDecode' | 'FlateDecode';
  readonly DecodeParms: FilterParms | undefined;
  /** JPEG 2000 need not state it. */
  readonly BitsPerComponent?: number;
}

export function cropEntries(form: ImageForm, { width, height }: PixelSize): CropEntries {
  const size = { Width: width, Height: height };
  if (form.kind === 'jpeg') {
    const isPlain = Object.keys(form.parms).length === 0;
    return { ...size, Filter: 'DCTDecode', DecodeParms: isPlain ? undefined : form.parms };
  }
  const { kind } = cropPredictor(form);
  const { components, bitsPerComponent } = form.raster.layout;
  const parms = {
    Predictor: kind === 'tiff' ? 2 : 15,
    Colors: components,
    BitsPerComponent: bitsPerComponent,
    Columns: width,
  };
  const depth = form.kind === 'jpeg2000' ? { BitsPerComponent: bitsPerComponent } : {};
  return { ...size, ...depth, Filter: 'FlateDecode', DecodeParms: kind === 'none' ? undefined : parms };
}

/**
 * The predictor of the source, if it has one. An image packed by Flate without a predictor gets none either. Images
 * with weaker codings get PNG filters if their samples are whole bytes.
 */
export function cropPredictor(form: ImageForm & { kind: 'raster' | 'jpeg2000' }): CropPredictor {
  const { predictor, layout } = form.raster;
  if (form.kind === 'jpeg2000') return { kind: 'png', filters: 'chosen' };
  if (predictor !== 'none') return { kind: predictor, filters: 'kept' };
  if (form.isFlate || layout.bitsPerComponent < 8) return { kind: 'none', filters: 'kept' };
  return { kind: 'png', filters: 'chosen' };
}
