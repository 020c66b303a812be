import type { Canvas } from './canvas.ts';
import { drawLeafGround } from './leaf-ground.ts';
import { drawAlder, drawEmblem, drawLeafDrift, drawOpenBook } from './motifs.ts';
import { alderRed, gray, PALETTE } from './palette.ts';
import { curve, ellipse, landform, type Path, rectangle, roundedRectangle, type XY } from './path.ts';
import { axialPaint, luminosityMask, radialPaint } from './patterns.ts';
import { drawLyingReader, drawSittingReader } from './reader-motifs.ts';
import { type SceneSide, SILL_MM, sideLettering } from './scene.ts';
import { SHELF_MM, type Stock, VALLEY_MM } from './stock.ts';

/** How far everything is painted beyond the side: bleed, and a little more for the crop. */
const OVERRUN_MM = 90;

/** What sets one long side apart from the other. Distances are from the front of the vehicle. */
export interface LongSideDesign {
  /** Where the doors end and the printed landscape begins. */
  readonly doorsEnd: number;
  readonly shelfSeeds: readonly [number, number];
  readonly emblem: XY | undefined;
  readonly drawReaders: (canvas: Canvas) => void;
  readonly ribbon: { readonly from: number; readonly to: number };
}

/** The hill that carries the big word: steep at the doors like a turned page, easy along the body. */
const nearCrest = (doorsEnd: number): readonly XY[] => [
  [doorsEnd - 640, -OVERRUN_MM - 120],
  [doorsEnd - 290, 240],
  [doorsEnd + 60, 680],
  [doorsEnd + 700, 892],
  [doorsEnd + 1700, 918],
  [4900, 900],
  [5900, 850],
  [6700, 800],
  [7200 + OVERRUN_MM, 770],
];

export function drawLongSide(canvas: Canvas, side: SceneSide, stock: Stock, design: LongSideDesign): void {
  drawSky(canvas, side);
  drawValley(canvas, stock);
  drawFarHills(canvas, design);
  drawNearHill(canvas, side, design);
  drawShelfRow(canvas, side, stock, design);
  design.drawReaders(canvas);
  drawSigns(canvas, side, stock, design);
}

function drawSky(canvas: Canvas, side: SceneSide): void {
  const sky = axialPaint(
    canvas,
    'Sky',
    [1200, 0],
    [7200, 300],
    [
      { at: 0, ink: PALETTE.peach },
      { at: 0.3, ink: PALETTE.cream },
      { at: 0.7, ink: PALETTE.cream },
      { at: 1, ink: PALETTE.mist },
    ],
  );
  const { widthMm, heightMm } = side;
  canvas.fill(sky, rectangle(-OVERRUN_MM, -OVERRUN_MM, widthMm + 2 * OVERRUN_MM, heightMm + 2 * OVERRUN_MM));
}

/** The photograph melts into the flat sky on its near edge through a soft mask. */
function drawValley(canvas: Canvas, stock: Stock): void {
  const [x, y] = [7200 + OVERRUN_MM - VALLEY_MM.width, -OVERRUN_MM];
  const mask = luminosityMask(canvas, 'ValleyFade', (inner) => {
    const fade = axialPaint(
      inner,
      'Fade',
      [x + 60, 0],
      [x + 1500, 0],
      [
        { at: 0, ink: gray(0) },
        { at: 1, ink: gray(100) },
      ],
    );
    inner.fill(fade, rectangle(x, y, VALLEY_MM.width, VALLEY_MM.height));
  });
  canvas.withState('ValleyMask', { SMask: mask }, () => {
    canvas.placePicture('Valley', stock.valley('morning'), x, y, VALLEY_MM.width, VALLEY_MM.height);
  });
}

function drawFarHills(canvas: Canvas, { doorsEnd }: LongSideDesign): void {
  canvas.withState('HillVeil', { ca: 0.75 }, () => {
    canvas.fill(
      PALETTE.mist,
      landform(
        [
          [doorsEnd - 600, 620],
          [doorsEnd + 400, 800],
          [doorsEnd + 1100, 742],
          [doorsEnd + 2000, 812],
          [5200, 842],
          [5900, 900],
        ],
        1200,
      ),
    );
  });
  canvas.fill(
    PALETTE.sage,
    landform(
      [
        [doorsEnd - 600, 700],
        [doorsEnd + 300, 792],
        [doorsEnd + 1000, 850],
        [doorsEnd + 1900, 800],
        [doorsEnd + 2700, 838],
        [5700, 905],
      ],
      1200,
    ),
  );
}

function drawNearHill(canvas: Canvas, side: SceneSide, design: LongSideDesign): void {
  const { doorsEnd } = design;
  const crest = nearCrest(doorsEnd);
  const floor = side.heightMm + OVERRUN_MM;
  const hill: Path = [
    ...curve(crest),
    ['L', side.widthMm + OVERRUN_MM, floor],
    ['L', -OVERRUN_MM, floor],
    ['L', -OVERRUN_MM, -OVERRUN_MM],
    ['Z'],
  ];
  const slope = axialPaint(
    canvas,
    'Slope',
    [1200, 300],
    [5600, 2100],
    [
      { at: 0, ink: PALETTE.deepTeal },
      { at: 0.45, ink: PALETTE.teal },
      { at: 1, ink: PALETTE.deepTeal },
    ],
  );
  drawLeafGround(canvas, slope, hill, {
    leaf: { kind: 'process', c: 87, m: 36, y: 46, k: 19 },
    vein: PALETTE.deepTeal,
    turn: -24,
    fade: [
      [doorsEnd - 1350, 0],
      [doorsEnd - 560, 0],
    ],
  });
  const [glowAt, glowRadius]: [XY, number] = [[doorsEnd - 480, 1440], 1300];
  const glow = luminosityMask(canvas, 'DoorGlow', (inner) => {
    const light = radialPaint(inner, 'GlowFade', glowAt, 100, glowRadius, [
      { at: 0, ink: gray(58) },
      { at: 1, ink: gray(0) },
    ]);
    inner.fill(light, ellipse(...glowAt, glowRadius));
  });
  canvas.clip(hill, () => {
    canvas.withState('DoorGlowMask', { SMask: glow }, () =>
      canvas.fill(PALETTE.lake, ellipse(...glowAt, glowRadius)),
    );
  });
  // The road runs along the crest, a broad band of the house red with a thin one of gold beside it.
  const road: Path = curve(crest);
  canvas.stroke(alderRed(), 46, road);
  canvas.stroke(
    PALETTE.gold,
    12,
    curve(crest.map(([x, y]): XY => (y < 700 && x < 4000 ? [x - 46, y + 16] : [x - 4, y + 46]))),
  );
}

/** Books stand along the skirt, behind the doors, from the sill down into the bleed. */
function drawShelfRow(canvas: Canvas, side: SceneSide, stock: Stock, design: LongSideDesign): void {
  const floor = side.heightMm + OVERRUN_MM;
  const row = rectangle(
    design.doorsEnd,
    SILL_MM,
    side.widthMm + OVERRUN_MM - design.doorsEnd,
    floor - SILL_MM,
  );
  canvas.clip(row, () => {
    canvas.fill(PALETTE.ink, row);
    const [first, second] = design.shelfSeeds;
    for (let i = 0; i < 3; i += 1) {
      const seed = i % 2 === 0 ? first : second;
      const x = design.doorsEnd + i * SHELF_MM.width;
      canvas.placePicture(`Shelf${seed}`, stock.shelf(seed), x, SILL_MM, SHELF_MM.width, SHELF_MM.height);
    }
    canvas.fill(
      { kind: 'process', c: 22, m: 46, y: 70, k: 42 },
      rectangle(design.doorsEnd, SILL_MM + SHELF_MM.height, 6000, 80),
    );
    const shade = axialPaint(
      canvas,
      'ShelfShade',
      [0, SILL_MM],
      [0, SILL_MM + 130],
      [
        { at: 0, ink: PALETTE.ink },
        { at: 1, ink: PALETTE.white },
      ],
    );
    canvas.withState('Shadow', { BM: 'Multiply', ca: 0.8 }, () => {
      canvas.fill(shade, rectangle(design.doorsEnd, SILL_MM, 6000, 130));
    });
  });
}

function drawSigns(canvas: Canvas, side: SceneSide, stock: Stock, design: LongSideDesign): void {
  const set = (id: string, face = stock.slab) => {
    const box = sideLettering(side, id);
    return face.lineFitted(box.text, box);
  };
  stock.slab.show(canvas, PALETTE.deepTeal, set('title'));
  stock.sans.show(canvas, alderRed(), set('slogan', stock.sans));
  const word = stock.slab.outline(set('word'));
  canvas.withState('Shadow', { BM: 'Multiply', ca: 0.4 }, () => {
    canvas.upright.fill(
      PALETTE.deepTeal,
      word.map((step) => shifted(step, 12, 12)),
    );
  });
  canvas.upright.fill(PALETTE.cream, word);
  const { from, to } = design.ribbon;
  canvas.fill(PALETTE.gold, roundedRectangle(from, 1664, to - from, 180, 90));
  // Dark lettering overprints the flat gold, so that no light edge can show between them.
  canvas.withState('Overprint', { OP: true, op: true, OPM: 1 }, () => {
    stock.slab.show(canvas, PALETTE.black, set('address'));
    stock.sans.show(canvas, PALETTE.black, set('phone', stock.sans));
  });
  if (side.lettering.some((box) => box.id === 'name')) stock.slab.show(canvas, alderRed(), set('name'));
  if (side.lettering.some((box) => box.id === 'motto'))
    stock.sans.show(canvas, PALETTE.cream, set('motto', stock.sans));
  if (design.emblem) drawEmblem(canvas.upright, { x: design.emblem[0], y: design.emblem[1], scale: 3 });
}

const shifted = (step: Path[number], dx: number, dy: number): Path[number] => {
  if (step[0] === 'Z') return step;
  if (step[0] === 'C')
    return ['C', step[1] + dx, step[2] + dy, step[3] + dx, step[4] + dy, step[5] + dx, step[6] + dy];
  return [step[0], step[1] + dx, step[2] + dy];
};

const READING = { legs: PALETTE.ink, shoes: PALETTE.cream } as const;

/** Left: two friends under the alder at the rear, its leaves let go towards the cab. */
export const LEFT_DESIGN: LongSideDesign = {
  doorsEnd: 1930,
  shelfSeeds: [7, 12],
  emblem: [1470, 1440],
  ribbon: { from: 2150, to: 4380 },
  drawReaders: (canvas) => {
    const leaves = [alderRed(), PALETTE.gold, PALETTE.amber, PALETTE.lake, PALETTE.teal, alderRed(70)];
    drawAlder(canvas, PALETTE.ink, leaves, { x: 6985, y: 800, scale: 0.98 }, 3);
    drawLeafDrift(
      canvas,
      [
        [6330, 250],
        [6240, 90],
        [6180, 560],
        [6380, 620],
        [5960, 640],
        [5640, 600],
        [5400, 690],
      ],
      leaves,
      0.8,
      9,
    );
    drawSittingReader(
      canvas,
      {
        ...READING,
        skin: { kind: 'process', c: 22, m: 48, y: 60, k: 12 },
        hair: PALETTE.ink,
        shirt: PALETTE.gold,
        cover: alderRed(),
      },
      'bun',
      { x: 6785, y: 802, scale: 1.05 },
    );
    drawLyingReader(
      canvas,
      {
        ...READING,
        skin: { kind: 'process', c: 8, m: 30, y: 40, k: 2 },
        hair: PALETTE.amber,
        shirt: alderRed(),
        cover: PALETTE.lake,
      },
      'crop',
      { x: 6180, y: 844, scale: 0.92 },
    );
  },
};

/** Right: an open book on the hill behind the body, a reader at each side of it. */
export const RIGHT_DESIGN: LongSideDesign = {
  doorsEnd: 2190,
  shelfSeeds: [12, 19],
  emblem: undefined,
  ribbon: { from: 2330, to: 4980 },
  drawReaders: (canvas) => {
    const leaves = [alderRed(), PALETTE.gold, PALETTE.amber, PALETTE.lake, PALETTE.teal];
    drawLeafDrift(
      canvas,
      [
        [6560, 420],
        [6700, 330],
        [6460, 300],
        [6640, 180],
        [6820, 120],
        [6500, 60],
        [6900, 260],
        [6990, 20],
      ],
      leaves,
      1,
      14,
    );
    drawOpenBook(
      canvas,
      { cover: alderRed(), page: PALETTE.cream, fold: PALETTE.peach, print: PALETTE.lake },
      { x: 6585, y: 782, scale: 2.6, turn: -4 },
    );
    drawSittingReader(
      canvas,
      {
        ...READING,
        skin: { kind: 'process', c: 12, m: 36, y: 48, k: 4 },
        hair: PALETTE.ink,
        shirt: PALETTE.lake,
        cover: PALETTE.gold,
      },
      'long',
      { x: 7080, y: 790, scale: 1 },
    );
    drawLyingReader(
      canvas,
      {
        ...READING,
        skin: { kind: 'process', c: 22, m: 48, y: 60, k: 12 },
        hair: PALETTE.ink,
        shirt: PALETTE.gold,
        cover: alderRed(),
      },
      'bun',
      { x: 5930, y: 850, scale: 0.92 },
    );
  },
};
