import { type Result, resultOk, resultProblem } from '../../../../core/measure/result.ts';
import { bytesJoined } from '../../../../core/pdf/file/byte-stream.ts';
import { imageCropPlans } from '../../../../core/pdf/images/image-crop-plan.ts';
import { type ImageProblem, problemFromError } from '../../../../core/pdf/images/image-problem.ts';
import { jpegFileCropSteps, scanRewriters } from '../../../../core/pdf/images/jpeg-crop.ts';
import type { JpegFrame } from '../../../../core/pdf/images/jpeg-frame.ts';
import { jpegFileFromBytes } from '../../../../core/pdf/images/jpeg-markers.ts';
import { isPixelWindowWithin, type PixelWindow } from '../../../../core/pdf/images/pixel-window.ts';

/** A JPEG file of its own, and the pixels of the source that it holds: the window, grown to whole coded units. */
export interface JpegCrop extends PixelWindow {
  readonly bytes: Uint8Array;
}

/** The pixels that the plan keeps for a window that needs no slack: whole coded units, with the reach of smoothing. */
export function jpegCropWindow(window: PixelWindow, frame: JpegFrame): PixelWindow {
  const { width, height, components } = frame;
  const image = { width, height, components: components.length, bitsPerComponent: 8, filters: [] };
  const [plan] = imageCropPlans([{ kind: 'jpeg', image, outer: [], frame, parms: {} }], [window], {
    slack: 0,
  });
  return plan!.crops[0]!;
}

/**
 * All crops of a JPEG that is held in memory. Windows are pixels of the image and grow outwards to coded units. A
 * problem means that the image must stay whole. A window outside the image is a mistake of the test and throws.
 */
export function jpegCrops(
  source: Uint8Array,
  windows: readonly PixelWindow[],
): Result<readonly JpegCrop[], ImageProblem> {
  try {
    const file = jpegFileFromBytes(source);
    for (const window of windows) {
      if (!isPixelWindowWithin(window, file.frame)) {
        throw new RangeError(`The window ${JSON.stringify(window)} lies outside the image.`);
      }
    }
    const crops = windows.map((window) => jpegCropWindow(window, file.frame));
    const chunks = windows.map((): Uint8Array[] => []);
    for (const { pieces } of jpegFileCropSteps(file, crops, (mcus) => scanRewriters(source, file, mcus))) {
      for (const { window, bytes } of pieces) chunks[window]!.push(bytes);
    }
    return resultOk(crops.map((crop, i) => ({ ...crop, bytes: bytesJoined(chunks[i]!) })));
  } catch (error) {
    return resultProblem(problemFromError(error));
  }
}
