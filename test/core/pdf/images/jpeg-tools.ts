import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { PixelWindow } from '../../../../core/pdf/images/pixel-window.ts';

/** The programs of libjpeg-turbo: they come in one package with jpegtran. */
function jpegTool(tool: 'jpegtran' | 'djpeg', args: readonly string[], input: Uint8Array): Uint8Array {
  const folder = mkdtempSync(join(tmpdir(), 'panelwright-jpeg-'));
  try {
    writeFileSync(join(folder, 'in.jpg'), input);
    execFileSync(tool, [...args, '-outfile', join(folder, 'out'), join(folder, 'in.jpg')], { stdio: 'pipe' });
    return new Uint8Array(readFileSync(join(folder, 'out')));
  } finally {
    rmSync(folder, { recursive: true });
  }
}

export const jpegTransformed = (jpeg: Uint8Array, ...args: string[]): Uint8Array =>
  jpegTool('jpegtran', args, jpeg);

/** All coefficients, quantisation tables and sampling in the one form in which jpegtran writes them. */
export const jpegCanonical = (jpeg: Uint8Array): Uint8Array =>
  jpegTransformed(jpeg, '-copy', 'none', '-optimize');

export const jpegCroppedByOracle = (jpeg: Uint8Array, { x, y, width, height }: PixelWindow): Uint8Array =>
  jpegTransformed(jpeg, '-copy', 'none', '-optimize', '-crop', `${width}x${height}+${x}+${y}`);

export interface Samples {
  readonly width: number;
  readonly height: number;
  readonly channels: number;
  readonly bytes: Uint8Array;
}

/** Decodes with djpeg, smooth chroma upsampling on, as decoders have it by default. */
export function jpegSamples(jpeg: Uint8Array, ...args: string[]): Samples {
  const pnm = jpegTool('djpeg', ['-pnm', ...args], jpeg);
  const text = new TextDecoder('latin1').decode(pnm.subarray(0, 40));
  const [header, kind, width, height] = /^P([56])\s+(\d+)\s+(\d+)\s+255\s/.exec(text)!;
  const bytes = pnm.subarray(header.length);
  return { width: Number(width), height: Number(height), channels: kind === '6' ? 3 : 1, bytes };
}

export function samplesCut(samples: Samples, { x, y, width, height }: PixelWindow): Uint8Array {
  const { channels } = samples;
  const out = new Uint8Array(width * height * channels);
  for (let row = 0; row < height; row++) {
    const from = ((y + row) * samples.width + x) * channels;
    out.set(samples.bytes.subarray(from, from + width * channels), row * width * channels);
  }
  return out;
}
