import type { Canvas } from './canvas.ts';
import { drawLeafGround } from './leaf-ground.ts';
import { drawLeafDrift, drawOpenBook } from './motifs.ts';
import { alderRed, PALETTE } from './palette.ts';
import { curve, ellipse, landform, rectangle, roundedRectangle } from './path.ts';
import { axialPaint, radialPaint } from './patterns.ts';
import { type SceneSide, SILL_MM, sideLettering } from './scene.ts';
import { SHELF_MM, type Stock } from './stock.ts';

const OVERRUN_MM = 80;

/** The rear: a morning that rises out of an open book, and the shelf running on around the corners. */
export function drawRear(canvas: Canvas, side: SceneSide, stock: Stock): void {
  drawMorning(canvas, side);
  drawTailgate(canvas, side, stock);
  drawRisingBook(canvas);
  drawSigns(canvas, side, stock);
}

function drawMorning(canvas: Canvas, side: SceneSide): void {
  const { widthMm } = side;
  const sky = axialPaint(
    canvas,
    'RearSky',
    [0, 0],
    [0, 1150],
    [
      { at: 0, ink: PALETTE.mist },
      { at: 0.5, ink: PALETTE.cream },
      { at: 1, ink: PALETTE.peach },
    ],
  );
  canvas.fill(sky, rectangle(-OVERRUN_MM, -OVERRUN_MM, widthMm + 2 * OVERRUN_MM, 1400));
  const sun = radialPaint(canvas, 'Sun', [1100, 720], 150, 470, [
    { at: 0, ink: PALETTE.gold },
    { at: 0.35, ink: PALETTE.peach },
    { at: 1, ink: PALETTE.white },
  ]);
  canvas.withState('SunGlow', { BM: 'Multiply', ca: 0.7 }, () => canvas.fill(sun, ellipse(1100, 720, 470)));
  canvas.fill(PALETTE.gold, ellipse(1100, 720, 210));
  canvas.fill(
    PALETTE.sage,
    landform(
      [
        [-OVERRUN_MM, 760],
        [380, 700],
        [860, 800],
        [1300, 770],
        [1780, 690],
        [2280, 780],
      ],
      1400,
    ),
  );
  canvas.fill(
    PALETTE.lake,
    landform(
      [
        [-OVERRUN_MM, 860],
        [420, 830],
        [900, 900],
        [1500, 850],
        [1900, 820],
        [2280, 880],
      ],
      1400,
    ),
  );
}

function drawTailgate(canvas: Canvas, side: SceneSide, stock: Stock): void {
  const { widthMm, heightMm } = side;
  const width = widthMm + 2 * OVERRUN_MM;
  const crest = [
    [-OVERRUN_MM, 770],
    [300, 900],
    [760, 1020],
    [1100, 1050],
    [1440, 1020],
    [1900, 900],
    [2280, 770],
  ] as const;
  const slope = axialPaint(
    canvas,
    'RearSlope',
    [0, 800],
    [0, 2000],
    [
      { at: 0, ink: PALETTE.teal },
      { at: 1, ink: PALETTE.deepTeal },
    ],
  );
  const hill = landform(crest, heightMm + OVERRUN_MM);
  drawLeafGround(canvas, slope, hill, {
    leaf: { kind: 'process', c: 78, m: 26, y: 42, k: 8 },
    vein: PALETTE.teal,
    turn: 18,
    fade: [
      [0, 980],
      [0, 1420],
    ],
  });
  canvas.stroke(alderRed(), 46, curve(crest));
  canvas.stroke(PALETTE.gold, 12, curve(crest.map(([x, y]) => [x, y + 42] as const)));
  const floor = heightMm + OVERRUN_MM;
  canvas.clip(rectangle(-OVERRUN_MM, SILL_MM, width, floor - SILL_MM), () => {
    canvas.fill(PALETTE.ink, rectangle(-OVERRUN_MM, SILL_MM, width, floor - SILL_MM));
    canvas.placePicture(
      'Shelf7',
      stock.shelf(7),
      -OVERRUN_MM - 140,
      SILL_MM,
      SHELF_MM.width,
      SHELF_MM.height,
    );
    canvas.placePicture(
      'Shelf12',
      stock.shelf(12),
      SHELF_MM.width - OVERRUN_MM - 140,
      SILL_MM,
      SHELF_MM.width,
      SHELF_MM.height,
    );
    canvas.fill(
      { kind: 'process', c: 22, m: 46, y: 70, k: 42 },
      rectangle(-OVERRUN_MM, SILL_MM + SHELF_MM.height, width, 80),
    );
  });
}

function drawRisingBook(canvas: Canvas): void {
  drawLeafDrift(
    canvas,
    [
      [1010, 560],
      [1180, 470],
      [880, 460],
      [1300, 600],
      [760, 620],
      [1420, 470],
      [640, 500],
      [1560, 560],
      [1080, 420],
      [540, 640],
      [1680, 660],
    ],
    [alderRed(), PALETTE.lake, PALETTE.teal, PALETTE.amber, alderRed(75)],
    0.9,
    21,
  );
  drawOpenBook(
    canvas,
    { cover: alderRed(), page: PALETTE.cream, fold: PALETTE.peach, print: PALETTE.lake },
    { x: 1100, y: 1090, scale: 3.7 },
  );
}

function drawSigns(canvas: Canvas, side: SceneSide, stock: Stock): void {
  const set = (id: string, face = stock.slab) => {
    const box = sideLettering(side, id);
    return face.lineFitted(box.text, box);
  };
  canvas.fill(PALETTE.deepTeal, stock.slab.outline(set('title')));
  stock.sans.show(canvas, PALETTE.cream, set('slogan', stock.sans));
  canvas.fill(PALETTE.gold, roundedRectangle(430, 1682, 1340, 176, 88));
  canvas.withState('Overprint', { OP: true, op: true, OPM: 1 }, () => {
    stock.slab.show(canvas, PALETTE.black, set('address'));
  });
  stock.sans.show(canvas, PALETTE.gold, set('phone', stock.sans));
}
