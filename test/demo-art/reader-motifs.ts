import type { Canvas, Paint } from './canvas.ts';
import { limbDrawer } from './motifs.ts';
import { PALETTE } from './palette.ts';
import {
  ellipse,
  type Path,
  type Placement,
  pathPlaced,
  polygon,
  roundedRectangle,
  type XY,
} from './path.ts';

export interface ReaderPaints {
  readonly skin: Paint;
  readonly hair: Paint;
  readonly shirt: Paint;
  readonly legs: Paint;
  readonly shoes: Paint;
  readonly cover: Paint;
}

/** How the hair is worn: a bun behind, a short crop, or long to the shoulder. */
export type Hair = 'bun' | 'crop' | 'long';

/** A child who sits reading, seen from the side, facing left; about 330 high, the seat at the origin. */
export function drawSittingReader(canvas: Canvas, paints: ReaderPaints, hair: Hair, place: Placement): void {
  const limb = limbDrawer(canvas, place);
  limb(paints.legs, 58, [
    [-4, -32],
    [-122, -112],
    [-158, -6],
  ]);
  limb(paints.shoes, 40, [
    [-160, -12],
    [-196, -10],
  ]);
  limb(paints.legs, 60, [
    [0, -30],
    [-96, -92],
    [-112, -8],
  ]);
  limb(paints.shoes, 42, [
    [-116, -12],
    [-152, -10],
  ]);
  limb(paints.shirt, 104, [
    [2, -48],
    [-10, -140],
  ]);
  limb(paints.skin, 34, [
    [-22, -180],
    [-30, -214],
  ]);
  drawHead(canvas, paints, hair, place, [-44, -250]);
  drawHeldBook(canvas, paints, place, [-164, -146]);
  limb(paints.shirt, 40, [
    [-8, -158],
    [-44, -98],
  ]);
  limb(paints.skin, 28, [
    [-46, -96],
    [-146, -130],
  ]);
}

/** A child who lies reading, propped on the elbows, facing left; the elbows near the origin. */
export function drawLyingReader(canvas: Canvas, paints: ReaderPaints, hair: Hair, place: Placement): void {
  const limb = limbDrawer(canvas, place);
  limb(paints.legs, 56, [
    [210, -34],
    [348, -28],
    [392, -140],
  ]);
  limb(paints.shoes, 40, [
    [394, -148],
    [372, -172],
  ]);
  limb(paints.legs, 56, [
    [210, -30],
    [332, -26],
    [352, -150],
  ]);
  limb(paints.shoes, 40, [
    [352, -156],
    [328, -178],
  ]);
  limb(paints.shirt, 92, [
    [46, -96],
    [196, -44],
  ]);
  limb(paints.skin, 34, [
    [34, -126],
    [18, -150],
  ]);
  drawHead(canvas, paints, hair, place, [0, -184]);
  drawHeldBook(canvas, paints, place, [-104, -62]);
  limb(paints.shirt, 38, [
    [40, -98],
    [10, -24],
  ]);
  limb(paints.skin, 28, [
    [6, -22],
    [-78, -40],
  ]);
}

function drawHead(canvas: Canvas, paints: ReaderPaints, hair: Hair, place: Placement, [x, y]: XY): void {
  const put = (path: Path): Path => pathPlaced(path, place);
  if (hair === 'long') canvas.fill(paints.hair, put(roundedRectangle(x - 22, y - 50, 88, 128, 42)));
  if (hair === 'bun') canvas.fill(paints.hair, put(ellipse(x + 52, y - 42, 28)));
  canvas.fill(paints.hair, put(ellipse(x + 8, y - 6, 58, 56)));
  canvas.fill(paints.skin, put(ellipse(x - 10, y + 8, 46, 47)));
  // A fringe over the brow, and the back of the hair over the ear.
  canvas.fill(
    paints.hair,
    put([
      ['M', x - 52, y - 8],
      ['C', x - 50, y - 62, x + 44, y - 72, x + 62, y - 10],
      ['C', x + 66, y + 20, x + 50, y + 40, x + 28, y + 46],
      ['C', x + 30, y + 24, x + 22, y + 4, x + 4, y - 8],
      ['C', x - 12, y - 18, x - 36, y - 18, x - 52, y - 8],
      ['Z'],
    ]),
  );
  canvas.fill(paints.skin, put(ellipse(x + 18, y + 14, 10, 12)));
}

function drawHeldBook(canvas: Canvas, paints: ReaderPaints, place: Placement, [x, y]: XY): void {
  const put = (points: readonly XY[]): Path => pathPlaced(polygon(points), place);
  canvas.fill(
    PALETTE.cream,
    put([
      [x + 4, y + 14],
      [x + 56, y - 48],
      [x + 64, y - 40],
      [x + 10, y + 22],
    ]),
  );
  canvas.fill(
    paints.cover,
    put([
      [x, y + 20],
      [x - 44, y - 58],
      [x - 34, y - 64],
      [x + 8, y + 12],
    ]),
  );
  canvas.fill(
    PALETTE.cream,
    put([
      [x + 6, y + 10],
      [x - 34, y - 62],
      [x - 24, y - 66],
      [x + 14, y + 6],
    ]),
  );
  canvas.fill(
    paints.cover,
    put([
      [x, y + 20],
      [x + 58, y - 36],
      [x + 66, y - 28],
      [x + 6, y + 30],
    ]),
  );
}
