import { randomFrom } from '../support/random.ts';
import type { Canvas, Paint } from './canvas.ts';
import { alderRed, PALETTE } from './palette.ts';
import { ellipse, line, type Path, type Placement, pathPlaced, polygon, type XY } from './path.ts';

/** An alder leaf, 100 long, its stalk at the origin, pointing up; rounded, with a shallow notch at the tip. */
const LEAF: Path = [
  ['M', 0, 0],
  ['C', 26, -6, 46, -34, 42, -62],
  ['C', 40, -84, 22, -98, 6, -96],
  ['C', 3, -95, 1, -93, 0, -91],
  ['C', -1, -93, -3, -95, -6, -96],
  ['C', -22, -98, -40, -84, -42, -62],
  ['C', -46, -34, -26, -6, 0, 0],
  ['Z'],
];

const STALK: Path = line([
  [0, 26],
  [0, -4],
]);

const VEINS: readonly Path[] = [
  line([
    [0, -4],
    [0, -86],
  ]),
  ...[-22, -42, -62].flatMap((y): Path[] => [
    line([
      [0, y],
      [26, y - 18],
    ]),
    line([
      [0, y],
      [-26, y - 18],
    ]),
  ]),
];

export function drawLeaf(canvas: Canvas, paint: Paint, vein: Paint | undefined, place: Placement): void {
  canvas.stroke(paint, 6 * (place.scale ?? 1), pathPlaced(STALK, place), { round: true });
  canvas.fill(paint, pathPlaced(LEAF, place));
  if (!vein) return;
  const width = 3.2 * (place.scale ?? 1);
  for (const path of VEINS) canvas.stroke(vein, width, pathPlaced(path, place), { round: true });
}

/** A drift of leaves along a line of points, turned as the wind has them. */
export function drawLeafDrift(
  canvas: Canvas,
  points: readonly XY[],
  paints: readonly Paint[],
  scale: number,
  seed: number,
): void {
  const random = randomFrom(seed);
  for (const [x, y] of points) {
    const paint = paints[Math.floor(random() * paints.length)];
    if (!paint) continue;
    const size = scale * (0.55 + 0.75 * random());
    drawLeaf(canvas, paint, PALETTE.paper, { x, y, scale: size, turn: random() * 360 });
  }
}

/** The page block of an open book seen from the front: 200 wide, its fold at the origin, pages upward. */
const LEFT_PAGE: Path = [
  ['M', 0, 0],
  ['C', -22, -16, -62, -20, -100, -8],
  ['L', -100, -84],
  ['C', -62, -96, -22, -92, 0, -74],
  ['Z'],
];

const COVER: Path = [
  ['M', 0, 16],
  ['C', -30, 2, -70, -2, -110, 8],
  ['L', -110, -76],
  ['L', 0, -62],
  ['L', 110, -76],
  ['L', 110, 8],
  ['C', 70, -2, 30, 2, 0, 16],
  ['Z'],
];

/** Lines of print on the left page, from the top: how far each runs towards the outer edge. */
const PRINT: readonly number[] = [0.92, 0.86, 0.9, 0.6, 0.92, 0.84, 0.72];

export interface BookPaints {
  readonly cover: Paint;
  readonly page: Paint;
  readonly fold: Paint;
  readonly print: Paint;
}

export function drawOpenBook(canvas: Canvas, paints: BookPaints, place: Placement): void {
  const scale = place.scale ?? 1;
  canvas.fill(paints.cover, pathPlaced(COVER, place));
  for (const flip of [false, true]) {
    const page = (path: Path): Path => pathPlaced(path, { ...place, flip });
    // Three leaves fanned under the open one give the block its thickness.
    for (const lift of [9, 6, 3]) {
      canvas.fill(lift === 6 ? paints.page : paints.fold, page(LEFT_PAGE.map((step) => lowered(step, lift))));
    }
    canvas.fill(paints.page, page(LEFT_PAGE));
    for (const [i, run] of PRINT.entries()) {
      const y = -74 + i * 8.6;
      const end = -14 - 76 * run;
      const path: Path = [
        ['M', -14, y],
        ['C', -30, y - 9, -60, y - 14, end, y - 11 + 4 * run],
      ];
      canvas.stroke(paints.print, 1.5 * scale, page(path), { round: true });
    }
    canvas.withState('Shadow', { BM: 'Multiply', ca: 0.35 }, () => {
      canvas.clip(page(LEFT_PAGE), () => {
        canvas.fill(
          paints.fold,
          page(
            polygon([
              [0, 4],
              [0, -96],
              [-9, -98],
              [-13, 4],
            ]),
          ),
        );
        canvas.fill(
          paints.fold,
          page(
            polygon([
              [0, 4],
              [0, -96],
              [-4, -98],
              [-6, 4],
            ]),
          ),
        );
      });
    });
  }
}

const lowered = (step: Path[number], by: number): Path[number] => {
  if (step[0] === 'Z') return step;
  if (step[0] === 'C') return ['C', step[1], step[2] + by, step[3], step[4] + by, step[5], step[6] + by];
  return [step[0], step[1], step[2] + by];
};

/** Draws a limb, of a child or a tree: a line as thick as it is told, with round ends. */
export type LimbDrawer = (paint: Paint, width: number, points: readonly XY[]) => void;

export const limbDrawer =
  (canvas: Canvas, place: Placement): LimbDrawer =>
  (paint, width, points) =>
    canvas.stroke(paint, width * (place.scale ?? 1), pathPlaced(line(points), place), { round: true });

/** An alder: a forked trunk and a crown of single leaves. About 900 high, its foot at the origin. */
export function drawAlder(
  canvas: Canvas,
  trunk: Paint,
  leaves: readonly Paint[],
  place: Placement,
  seed: number,
): void {
  const scale = place.scale ?? 1;
  const limb = limbDrawer(canvas, place);
  canvas.fill(
    trunk,
    pathPlaced(
      [
        ['M', -46, 30],
        ['C', -22, -60, -30, -240, -16, -420],
        ['L', 16, -420],
        ['C', 24, -240, 22, -60, 50, 30],
        ['Z'],
      ],
      place,
    ),
  );
  limb(trunk, 26, [
    [-4, -380],
    [-120, -560],
  ]);
  limb(trunk, 24, [
    [2, -400],
    [110, -600],
  ]);
  limb(trunk, 22, [
    [0, -400],
    [-14, -680],
  ]);
  limb(trunk, 14, [
    [-80, -500],
    [-220, -540],
  ]);
  limb(trunk, 14, [
    [70, -520],
    [210, -560],
  ]);
  const random = randomFrom(seed);
  for (let i = 0; i < 260; i += 1) {
    const angle = random() * 2 * Math.PI;
    const reach = Math.sqrt(random());
    const at = pathPlaced(
      [['M', Math.cos(angle) * 360 * reach, -640 + Math.sin(angle) * 260 * reach]],
      place,
    )[0];
    const paint = leaves[Math.floor(random() * leaves.length)];
    if (!paint || at?.[0] !== 'M') continue;
    const size = scale * (0.5 + 0.42 * random());
    // Leaves hang outward from the middle of the crown, with some of the wind in them.
    const turn = (angle * 180) / Math.PI + 90 + 90 * (random() - 0.5);
    drawLeaf(canvas, paint, PALETTE.paper, { x: at[1], y: at[2], scale: size, turn });
  }
}

/** The library's sign: a book whose middle page is an alder leaf, in a disc of radius 100 about the origin. */
export function drawEmblem(canvas: Canvas, place: Placement): void {
  const scale = place.scale ?? 1;
  const at = (dx: number, dy: number, part: number): Placement => ({
    ...place,
    x: place.x + dx * scale,
    y: place.y + dy * scale,
    scale: scale * part,
  });
  canvas.fill(PALETTE.cream, ellipse(place.x, place.y, 100 * scale));
  canvas.stroke(alderRed(), 5 * scale, ellipse(place.x, place.y, 89 * scale));
  drawLeaf(canvas, alderRed(), PALETTE.cream, at(0, 4, 0.66));
  drawLeaf(canvas, PALETTE.lake, PALETTE.cream, { ...at(-4, 8, 0.5), turn: -48 });
  drawLeaf(canvas, PALETTE.gold, PALETTE.cream, { ...at(4, 8, 0.5), turn: 48 });
  const paints = { cover: alderRed(), page: PALETTE.white, fold: PALETTE.peach, print: PALETTE.lake };
  drawOpenBook(canvas, paints, at(0, 54, 0.58));
}
