/** Pages drawn by two programs that share nothing with the comparison, to know what has changed in truth. */
import { readFileSync } from 'node:fs';
import { runTool } from '../../support/tools.ts';

export interface Rendering {
  readonly width: number;
  readonly height: number;
  readonly rgb: Uint8Array;
}

const RENDERERS = ['mutool', 'pdftoppm'] as const;

/** Undefined where one of them cannot draw it. */
export function renderings(
  path: string,
  page: number,
  dpi: number,
  scratch: string,
): Rendering[] | undefined {
  try {
    return RENDERERS.map((tool) => {
      if (tool === 'mutool')
        runTool(tool, ['draw', '-q', '-F', 'ppm', '-r', `${dpi}`, '-o', `${scratch}.ppm`, path, `${page}`]);
      else
        runTool(tool, [
          '-cropbox',
          '-singlefile',
          '-r',
          `${dpi}`,
          '-f',
          `${page}`,
          '-l',
          `${page}`,
          path,
          scratch,
        ]);
      return portablePixmap(readFileSync(`${scratch}.ppm`));
    });
  } catch {
    return undefined;
  }
}

function portablePixmap(bytes: Buffer): Rendering {
  const head = /^P6\s+(?:#[^\n]*\n)*(\d+)\s+(\d+)\s+255\s/.exec(bytes.toString('latin1', 0, 200));
  if (!head) throw new Error('not a portable pixmap');
  return { width: Number(head[1]), height: Number(head[2]), rgb: bytes.subarray(head[0].length) };
}

export interface Share {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** Pixels of a part of the page, in shares of its size, that differ by more than `levels` in any channel. */
export function differingPixels(a: Rendering, b: Rendering, part: Share, levels: number): number {
  if (a.width !== b.width || a.height !== b.height) return Number.POSITIVE_INFINITY;
  const [x0, x1] = [Math.ceil(part.x * a.width) + 1, Math.floor((part.x + part.width) * a.width) - 1];
  const [y0, y1] = [Math.ceil(part.y * a.height) + 1, Math.floor((part.y + part.height) * a.height) - 1];
  let count = 0;
  for (let y = Math.max(0, y0); y < Math.min(a.height, y1); y++) {
    for (
      let at = 3 * (y * a.width + Math.max(0, x0));
      at < 3 * (y * a.width + Math.min(a.width, x1));
      at += 3
    ) {
      const far = Math.max(
        Math.abs(a.rgb[at]! - b.rgb[at]!),
        Math.abs(a.rgb[at + 1]! - b.rgb[at + 1]!),
        Math.abs(a.rgb[at + 2]! - b.rgb[at + 2]!),
      );
      if (far > levels) count++;
    }
  }
  return count;
}
