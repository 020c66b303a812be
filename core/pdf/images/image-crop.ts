/**
 * Images cut to the part that a panel shows, without loss.
 *
 *     const form = await imageForm(description, data(), flate);          // how it is coded, or why it must stay whole
 *     const window = imagePixelWindow(placement, panelBox, description); // undefined: not on this panel
 *     const [plan] = imageCropPlans([form.value], [window], { placements: [placement] }); // masks: [image, smask]
 *     cropEntries(form.value, plan.crops[0]);                            // Width, Height, Filter, DecodeParms
 *     await cropImage(form.value, crops, data(), flate, sinks);       // one pass for all panels
 *     cropMatrix(plan.crops[0], description);                            // `cm` in front of Do
 */
import { type Result, resultOk, resultProblem } from '../../measure/result.ts';
import { type ByteSink, collectBytes, type FlateCodec, type RowsReport } from '../file/byte-stream.ts';
import { cropPredictor } from './image-crop-plan.ts';
import { bytesDecoded, type ImageForm } from './image-form.ts';
import { corrupt, type ImageProblem, problemFromError } from './image-problem.ts';
import { cropJpeg } from './jpeg-stream.ts';
import { isPixelWindowWithin, type PixelWindow } from './pixel-window.ts';
import { cropRaster } from './raster-crop.ts';

export type { ByteSink, FlateCodec } from '../file/byte-stream.ts';
export { cropEntries, imageCropPlans } from './image-crop-plan.ts';
export { type ImageDescription, type ImageFilter, type ImageForm, imageForm } from './image-form.ts';
export type { ImageProblem } from './image-problem.ts';
export { cropMatrix, imagePixelWindow } from './image-window.ts';
export type { PixelWindow } from './pixel-window.ts';

/**
 * Writes the streams of all crops of one image in one pass over its data, with the filter of `cropEntries`. `crops`
 * come from `imageCropPlans`. Each sink is ended after its last byte.
 *
 * A problem can occur after bytes were written, even after sinks were ended: all crops of the image must then be
 * discarded, and the image stays whole. Errors of `data`, of the sinks and of `onRows` are rethrown unchanged; to stop
 * the work, let `onRows` throw.
 */
export async function cropImage(
  form: ImageForm,
  crops: readonly PixelWindow[],
  data: AsyncIterable<Uint8Array>,
  flate: FlateCodec,
  sinks: readonly ByteSink[],
  onRows: RowsReport = () => undefined,
): Promise<Result<void, ImageProblem>> {
  for (const crop of crops) {
    if (!isPixelWindowWithin(crop, form.image)) {
      throw new RangeError(`The crop ${JSON.stringify(crop)} lies outside the image.`);
    }
  }
  const bytes = bytesDecoded(data, form.outer, flate);
  try {
    if (form.kind === 'jpeg2000') throw new Error('JPEG 2000 is decoded before it is cropped: decodedImage.');
    if (form.kind === 'jpeg') {
      await cropJpeg(bytes, crops, sinks, onRows);
    } else {
      const packed = sinks.map((sink) => flate.deflate(sink));
      await cropRaster(bytes, form.raster, crops, cropPredictor(form), packed, onRows);
    }
    return resultOk(undefined);
  } catch (error) {
    return resultProblem(problemFromError(error));
  }
}

/** A picture that must be decoded whole, held as samples; each crop is then made separately. */
export interface DecodedImage {
  /** Writes one crop as `cropImage` does. */
  crop(window: PixelWindow, sink: ByteSink, onRows?: RowsReport): Promise<void>;
}

/** Decodes a JPEG 2000 image once for all crops. Errors of `data` are rethrown. */
export async function decodedImage(
  form: ImageForm & { readonly kind: 'jpeg2000' },
  data: AsyncIterable<Uint8Array>,
  flate: FlateCodec,
): Promise<Result<DecodedImage, ImageProblem>> {
  const { layout } = form.raster;
  const bytes = await collectBytes(bytesDecoded(data, form.outer, flate), form.image.storedBytes);
  try {
    const samples = await flate.decodeJpeg2000!(bytes, layout.components);
    if (samples.length !== layout.columns * layout.components * form.image.height) {
      corrupt('The JPEG 2000 data have another size than they state.');
    }
    return resultOk({
      crop: (window, sink, onRows = () => undefined) =>
        cropRaster(
          onePiece(samples),
          form.raster,
          [window],
          cropPredictor(form),
          [flate.deflate(sink)],
          onRows,
        ),
    });
  } catch (error) {
    return resultProblem(problemFromError(error));
  }
}

async function* onePiece(bytes: Uint8Array): AsyncGenerator<Uint8Array> {
  yield bytes;
}
