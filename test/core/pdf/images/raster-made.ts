import type { PixelWindow } from '../../../../core/pdf/images/pixel-window.ts';
import { random } from './jpeg-made.ts';

/** A raster as plain numbers, one a sample, so that cropping it needs no bit arithmetic. */
export interface Raster {
  readonly width: number;
  readonly height: number;
  readonly components: number;
  readonly bits: number;
  readonly samples: readonly number[];
}

/** Samples that are flat in places and noisy in others, so that filters and runs have something to do. */
export function rasterMade(shape: Omit<Raster, 'samples'>, seed: number): Raster {
  const next = random(seed);
  const { width, height, components, bits } = shape;
  let value = 0;
  const samples = Array.from({ length: width * height * components }, () => {
    if (next() < 0.4) value = Math.floor(next() * 2 ** bits);
    return value;
  });
  return { ...shape, samples };
}

export function rasterCut(raster: Raster, { x, y, width, height }: PixelWindow): Raster {
  const { components } = raster;
  const samples = Array.from({ length: height }, (_, row) => {
    const from = ((y + row) * raster.width + x) * components;
    return raster.samples.slice(from, from + width * components);
  }).flat();
  return { ...raster, width, height, samples };
}

/** Packed rows, each beginning on a byte (ISO 32000-1, 8.9.5.2); bits that are no whole byte are written out as text first. */
export function rasterRows({ width, height, components, bits, samples }: Raster): Uint8Array[] {
  const count = width * components;
  return Array.from({ length: height }, (_, y) => {
    const row = samples.slice(y * count, (y + 1) * count);
    if (bits === 8) return Uint8Array.from(row);
    const text = row.map((sample) => sample.toString(2).padStart(bits, '0')).join('');
    const bytes = text.match(/.{1,8}/g) ?? [];
    return Uint8Array.from(bytes, (byte) => Number.parseInt(byte.padEnd(8, '0'), 2));
  });
}

export const rasterBytes = (raster: Raster): Uint8Array => new Uint8Array(Buffer.concat(rasterRows(raster)));

/** PNG filters, a random one a row (ISO/IEC 15948, 9.2). */
export function pngCoded(raster: Raster, seed: number): Uint8Array {
  const next = random(seed);
  const pixel = Math.ceil((raster.components * raster.bits) / 8);
  const rows = rasterRows(raster);
  const coded = rows.map((row, y) => {
    const filter = Math.floor(next() * 5);
    const above = rows[y - 1] ?? new Uint8Array(row.length);
    return [
      filter,
      ...row.map((byte, i) => {
        const left = row[i - pixel] ?? 0;
        const up = above[i]!;
        const corner = i < pixel ? 0 : above[i - pixel]!;
        const estimate = left + up - corner;
        const paeth = [left, up, corner].sort((a, b) => Math.abs(estimate - a) - Math.abs(estimate - b))[0]!;
        return byte - [0, left, up, Math.floor((left + up) / 2), paeth][filter]!;
      }),
    ];
  });
  return Uint8Array.from(coded.flat());
}

/** TIFF predictor 2, on the numbers before they are packed (TIFF 6.0, section 14). */
export function tiffCoded(raster: Raster): Uint8Array {
  const { width, components, bits, samples } = raster;
  const differences = samples.map((sample, i) => {
    const isFirst = i % (width * components) < components;
    return (sample - (isFirst ? 0 : samples[i - components]!) + 2 ** bits) % 2 ** bits;
  });
  return rasterBytes({ ...raster, samples: differences });
}
