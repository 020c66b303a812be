/** JPEG 2000 by OpenJPEG's own encoder, with detail in it. */
import { createRequire } from 'node:module';
import { enumerated, jp2Made } from '../core/pdf/images/jpeg2000-made.ts';

interface Encoder {
  getDecodedBuffer(frame: {
    readonly width: number;
    readonly height: number;
    readonly bitsPerSample: number;
    readonly componentCount: number;
    readonly isSigned: boolean;
    readonly isUsingColorTransform: boolean;
  }): Uint8Array;
  setQuality(isLossless: boolean, quality: number): void;
  setCompressionRatio(layer: number, ratio: number): void;
  encode(): void;
  getEncodedBuffer(): Uint8Array;
  delete(): void;
}

const require = createRequire(import.meta.url);
const codec = require('@cornerstonejs/codec-openjpeg') as (options: {
  print(line: string): void;
  printErr(line: string): void;
}) => Promise<{ readonly J2KEncoder: new () => Encoder }>;

export interface Jpeg2000Picture {
  readonly width: number;
  readonly height: number;
  readonly channels: number;
  /** Eight bits each, pixel by pixel. */
  readonly samples: Uint8Array;
  /** By how much it is to shrink; without loss where absent. */
  readonly ratio?: number;
}

export async function jpeg2000Encoded(picture: Jpeg2000Picture): Promise<Uint8Array> {
  const { width, height, channels: componentCount, samples, ratio } = picture;
  const quiet = { print: () => undefined, printErr: () => undefined };
  const { J2KEncoder } = await codec(quiet);
  const encoder = new J2KEncoder();
  const frame = { width, height, bitsPerSample: 8, componentCount };
  encoder.getDecodedBuffer({ ...frame, isSigned: false, isUsingColorTransform: false }).set(samples);
  // One layer.
  encoder.setQuality(ratio === undefined, 1);
  if (ratio !== undefined) encoder.setCompressionRatio(0, ratio);
  encoder.encode();
  const encoded = Uint8Array.from(encoder.getEncodedBuffer());
  encoder.delete();
  return encoded;
}

/** The same as a file, whose boxes say that it is red, green and blue. */
export const jp2Encoded = async (picture: Jpeg2000Picture): Promise<Uint8Array> =>
  jp2Made(picture.width, picture.height, picture.channels, [enumerated(16)], await jpeg2000Encoded(picture));

/** Waves in every channel, under a little grain. */
export function wavySamples(width: number, height: number, channels: number): Uint8Array {
  const samples = new Uint8Array(width * height * channels);
  let state = 1;
  for (let at = 0; at < samples.length; at += 1) {
    const pixel = Math.floor(at / channels);
    const [x, y, channel] = [pixel % width, Math.floor(pixel / width), at % channels];
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    samples[at] = 120 + 60 * Math.sin(x / 37 + channel) + 50 * Math.cos(y / 23 - channel) + (state >>> 29);
  }
  return samples;
}
