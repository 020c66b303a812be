import { randomFrom } from '../support/random.ts';
import { PALETTE, type ProcessInk, SPOT_ALTERNATE } from './palette.ts';
import { pixelsFor, type Raster, rasterNew } from './pictures.ts';

const SPINES: readonly ProcessInk[] = [
  PALETTE.teal,
  PALETTE.lake,
  PALETTE.sage,
  PALETTE.cream,
  PALETTE.gold,
  PALETTE.amber,
  SPOT_ALTERNATE,
  SPOT_ALTERNATE,
  PALETTE.rose,
  PALETTE.plum,
  PALETTE.dusk,
  PALETTE.peach,
];

/** A plain rectangle of one color on a spine, in parts of the spine's width and in rows from its top. */
interface Mark {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
  readonly ink: ProcessInk;
}

interface Spine {
  readonly x: number;
  readonly width: number;
  readonly top: number;
  readonly bottom: number;
  readonly ink: ProcessInk;
  readonly marks: readonly Mark[];
  /** Whether the book lies flat, so that its light runs from top to bottom. */
  readonly isFlat: boolean;
}

/** One shelf of books seen from the front, lit from above. CMYK; the board is the lowest part. */
export function shelfPicture(widthMm: number, heightMm: number, ppi: number, seed: number): Raster {
  const raster = rasterNew(pixelsFor(widthMm, ppi), pixelsFor(heightMm, ppi), 4);
  const board = Math.round(raster.height * 0.93);
  paintBack(raster, board);
  for (const spine of spinesFrom(raster.width, board, ppi / 25.4, seed)) paintSpine(raster, spine);
  return raster;
}

function paintBack({ width, height, samples }: Raster, board: number): void {
  for (let y = 0; y < height; y += 1) {
    const isBoard = y >= board;
    const t = isBoard ? (y - board) / (height - board) : y / board;
    const [c, m, ye, k] = isBoard ? [22, 46, 70, 8 + 34 * t] : [88, 62, 58, 74 - 14 * t];
    for (let at = y * width * 4; at < (y + 1) * width * 4; at += 4) {
      samples[at] = c * 2.55;
      samples[at + 1] = m * 2.55;
      samples[at + 2] = ye * 2.55;
      samples[at + 3] = k * 2.55;
    }
  }
}

function spinesFrom(widthPx: number, board: number, pxPerMm: number, seed: number): Spine[] {
  const random = randomFrom(seed);
  const spines: Spine[] = [];
  let last = -1;
  const inkNext = (): ProcessInk => {
    let pick = Math.floor(random() * SPINES.length);
    if (pick === last) pick = (pick + 1) % SPINES.length;
    last = pick;
    return SPINES[pick] ?? PALETTE.teal;
  };
  let x = 0;
  while (x < widthPx) {
    if (random() < 0.06 && x + 260 * pxPerMm < widthPx) {
      const width = Math.round((190 + 60 * random()) * pxPerMm);
      let bottom = board;
      for (let i = 0; i < 3 + Math.floor(random() * 3); i += 1) {
        const thick = Math.round((34 + 22 * random()) * pxPerMm);
        const inset = Math.round(random() * 24 * pxPerMm);
        spines.push(spineFrom(x + inset, width - 2 * inset, bottom - thick, bottom, inkNext(), true, random));
        bottom -= thick;
      }
      x += width + Math.round(6 * pxPerMm);
      continue;
    }
    const width = Math.round((30 + 44 * random() ** 1.5) * pxPerMm);
    const top = Math.round(board * (0.08 + 0.3 * random() ** 1.4));
    spines.push(spineFrom(x, width, top, board, inkNext(), false, random));
    x += width + (random() < 0.1 ? Math.round(10 * pxPerMm) : 1);
  }
  return spines;
}

function spineFrom(
  x: number,
  width: number,
  top: number,
  bottom: number,
  ink: ProcessInk,
  isFlat: boolean,
  random: () => number,
): Spine {
  const tall = bottom - top;
  const trim = ink.k + ink.c > 60 ? PALETTE.cream : PALETTE.deepTeal;
  const marks: Mark[] = [];
  const paintBand = (at: number, part: number): void => {
    marks.push({ left: 0, right: 1, top: tall * at, bottom: tall * (at + part), ink: trim });
  };
  if (isFlat) {
    marks.push({ left: 0.12, right: 0.62, top: tall * 0.4, bottom: tall * 0.6, ink: trim });
    return { x, width, top, bottom, ink, marks, isFlat };
  }
  const style = random();
  if (style < 0.45) {
    paintBand(0.07, 0.012);
    paintBand(0.1, 0.006);
    paintBand(0.9, 0.012);
  } else if (style < 0.7) {
    paintBand(0.14, 0.2);
    marks.push({ left: 0.2, right: 0.8, top: tall * 0.2, bottom: tall * 0.215, ink });
    marks.push({ left: 0.3, right: 0.7, top: tall * 0.25, bottom: tall * 0.262, ink });
  }
  if (style < 0.45 || style > 0.7) {
    const end = 0.3 + 0.35 * random();
    marks.push({ left: 0.38, right: 0.62, top: tall * 0.2, bottom: tall * (0.2 + end), ink: trim });
  }
  if (random() < 0.5)
    marks.push({ left: 0.25, right: 0.75, top: tall * 0.79, bottom: tall * 0.85, ink: PALETTE.cream });
  return { x, width, top, bottom, ink, marks, isFlat };
}

function paintSpine({ width, samples }: Raster, spine: Spine): void {
  const tall = spine.bottom - spine.top;
  const right = Math.min(width, spine.x + spine.width);
  for (let row = 0; row < tall; row += 1) {
    const y = spine.top + row;
    const marks = spine.marks.filter((mark) => row >= mark.top && row < mark.bottom);
    // Light falls from above; the foot of the row stands in its own shade.
    const fall = spine.isFlat ? 46 * Math.abs(row / tall - 0.35) ** 1.6 : 26 * (row / tall) ** 3;
    for (let x = spine.x; x < right; x += 1) {
      const across = (x - spine.x + 0.5) / spine.width;
      const ink = marks.find((mark) => across >= mark.left && across < mark.right)?.ink ?? spine.ink;
      const round = spine.isFlat ? 0 : 62 * Math.abs(across - 0.42) ** 2.6 * 2;
      const shade = round + fall + (x === spine.x || x === right - 1 ? 16 : 0);
      const at = (y * width + x) * 4;
      samples[at] = ink.c * 2.55;
      samples[at + 1] = ink.m * 2.55;
      samples[at + 2] = ink.y * 2.55;
      samples[at + 3] = Math.min(100, ink.k + shade) * 2.55;
    }
  }
}
