import type { PDFRef } from 'pdf-lib';
import { randomFrom } from '../support/random.ts';
import type { Canvas } from './canvas.ts';
import { drawLeafGround } from './leaf-ground.ts';
import { drawLeafDrift, drawOpenBook } from './motifs.ts';
import { alderRed, gray, PALETTE, type ProcessInk } from './palette.ts';
import { curve, ellipse, landform, polygon, rectangle, roundedRectangle, type XY } from './path.ts';
import { axialPaint, luminosityMask, radialPaint, type Stop } from './patterns.ts';
import { drawLyingReader, drawSittingReader } from './reader-motifs.ts';
import { type SceneSide, sideLettering } from './scene.ts';
import { LIGHTS_MM, type Stock, VALLEY_MM } from './stock.ts';

const OVERRUN_MM = 100;
/** The fold of the big book, from the front of the trailer. */
const BOOK: XY = [1180, 1560];

/** The hour that a side shows. Positions are from the front of the trailer. */
export interface TrailerMood {
  readonly valley: 'morning' | 'evening';
  readonly sky: readonly Stop[];
  readonly title: ProcessInk;
  readonly slogan: ProcessInk;
  readonly hills: readonly [ProcessInk, ProcessInk, ProcessInk];
  readonly leaf: ProcessInk;
  readonly orb: { readonly at: XY; readonly radius: number; readonly ink: ProcessInk };
  readonly isNight: boolean;
  readonly drawReaders: (canvas: Canvas) => void;
}

export function drawTrailerSide(canvas: Canvas, side: SceneSide, stock: Stock, mood: TrailerMood): void {
  drawSky(canvas, side, stock, mood);
  drawBookRays(canvas, mood);
  drawOrb(canvas, mood);
  drawHills(canvas, side, mood);
  drawRisingLeaves(canvas);
  drawOpenBook(
    canvas,
    { cover: alderRed(), page: PALETTE.cream, fold: PALETTE.peach, print: PALETTE.lake },
    { x: BOOK[0], y: BOOK[1], scale: 6.1, turn: -3 },
  );
  mood.drawReaders(canvas);
  drawSigns(canvas, side, stock, mood);
}

function drawSky(canvas: Canvas, side: SceneSide, stock: Stock, mood: TrailerMood): void {
  const { widthMm, heightMm } = side;
  const everything = rectangle(-OVERRUN_MM, -OVERRUN_MM, widthMm + 2 * OVERRUN_MM, heightMm + 2 * OVERRUN_MM);
  canvas.fill(axialPaint(canvas, 'Sky', [2400, -100], [3000, 1500], mood.sky), everything);
  const [x, y] = [widthMm + OVERRUN_MM - VALLEY_MM.width, 600];
  const mask = luminosityMask(canvas, 'ValleyFade', (inner) => {
    // Something dark to multiply with everywhere, or the edges of the two fades would show as hairlines.
    inner.fill(gray(0), rectangle(x - 40, y - 40, VALLEY_MM.width + 80, VALLEY_MM.height + 80));
    const across = axialPaint(
      inner,
      'FadeAcross',
      [x + 40, 0],
      [x + 1300, 0],
      [
        { at: 0, ink: gray(0) },
        { at: 1, ink: gray(100) },
      ],
    );
    inner.fill(across, rectangle(x, y, VALLEY_MM.width, VALLEY_MM.height));
    const down = axialPaint(
      inner,
      'FadeDown',
      [0, y + 10],
      [0, y + 420],
      [
        { at: 0, ink: gray(0) },
        { at: 1, ink: gray(100) },
      ],
    );
    inner.withState('MaskProduct', { BM: 'Multiply' }, () =>
      inner.fill(down, rectangle(x, y, VALLEY_MM.width, VALLEY_MM.height)),
    );
  });
  canvas.withState('ValleyMask', { SMask: mask }, () => {
    canvas.placePicture('Valley', stock.valley(mood.valley), x, y, VALLEY_MM.width, VALLEY_MM.height);
  });
  if (mood.isNight) {
    drawStars(canvas);
    canvas.placePicture(
      'Lights',
      stock.lights(8),
      widthMm + OVERRUN_MM - LIGHTS_MM.width,
      -OVERRUN_MM,
      LIGHTS_MM.width,
      LIGHTS_MM.height,
    );
    canvas.placePicture(
      'LightsMore',
      stock.lights(15),
      widthMm + OVERRUN_MM - 2 * LIGHTS_MM.width,
      -OVERRUN_MM - 60,
      LIGHTS_MM.width,
      LIGHTS_MM.height,
    );
  }
}

function drawOrb(canvas: Canvas, { orb }: TrailerMood): void {
  const glowRadius = orb.radius * 3;
  const glow: PDFRef = luminosityMask(canvas, 'OrbGlow', (inner) => {
    const light = radialPaint(inner, 'OrbFade', orb.at, orb.radius, glowRadius, [
      { at: 0, ink: gray(45) },
      { at: 1, ink: gray(0) },
    ]);
    inner.fill(light, ellipse(orb.at[0], orb.at[1], glowRadius));
  });
  canvas.withState('OrbMask', { SMask: glow }, () =>
    canvas.fill(PALETTE.cream, ellipse(...orb.at, glowRadius)),
  );
  const face = radialPaint(
    canvas,
    'Orb',
    [orb.at[0] - orb.radius * 0.3, orb.at[1] - orb.radius * 0.3],
    0,
    orb.radius * 1.4,
    [
      { at: 0, ink: PALETTE.white },
      { at: 1, ink: orb.ink },
    ],
  );
  canvas.fill(face, ellipse(...orb.at, orb.radius));
}

function drawStars(canvas: Canvas): void {
  const random = randomFrom(77);
  for (let i = 0; i < 60; i += 1) {
    // They stay clear of the lettering, which begins where the sky is brighter.
    const [x, y] = [random() * 2650, random() ** 1.6 * 900 - 40];
    canvas.fill(i % 5 === 0 ? PALETTE.gold : PALETTE.cream, ellipse(x, y, 3 + 6 * random() ** 2));
  }
}

function drawHills(canvas: Canvas, { widthMm, heightMm }: SceneSide, { hills, leaf }: TrailerMood): void {
  const right = widthMm + OVERRUN_MM;
  const floor = heightMm + OVERRUN_MM;
  canvas.fill(
    hills[0],
    landform(
      [
        [-OVERRUN_MM, 1040],
        [600, 980],
        [1400, 1120],
        [2300, 1090],
        [3200, 1240],
        [4100, 1330],
        [right, 1420],
      ],
      floor,
    ),
  );
  canvas.fill(
    hills[1],
    landform(
      [
        [-OVERRUN_MM, 1240],
        [800, 1320],
        [1700, 1300],
        [2600, 1250],
        [3600, 1330],
        [4700, 1390],
        [right, 1330],
      ],
      floor,
    ),
  );
  const front = landform(
    [
      [-OVERRUN_MM, 1500],
      [900, 1590],
      [1700, 1560],
      [2600, 1470],
      [3600, 1440],
      [4700, 1420],
      [right, 1460],
    ],
    floor,
  );
  const slope = axialPaint(
    canvas,
    'FrontHill',
    [1180, 1400],
    [5600, 2000],
    [
      { at: 0, ink: hills[1] },
      { at: 0.6, ink: hills[2] },
      { at: 1, ink: hills[2] },
    ],
  );
  drawLeafGround(canvas, slope, front, {
    leaf,
    vein: hills[1],
    turn: -20,
    fade: [
      [1500, 0],
      [4300, 0],
    ],
  });
  const road: readonly XY[] = [
    [-OVERRUN_MM, 1960],
    [1200, 1990],
    [2600, 1930],
    [3800, 1890],
    [4900, 1840],
    [right, 1850],
  ];
  canvas.stroke(alderRed(), 52, curve(road));
  canvas.stroke(PALETTE.gold, 12, curve(road.map(([x, y]): XY => [x, y + 52])));
}

/** Light stands out of the open pages as broad rays, strongest at the fold. */
function drawBookRays(canvas: Canvas, mood: TrailerMood): void {
  const [x, y] = [BOOK[0], BOOK[1] - 380];
  const mask = luminosityMask(canvas, 'BookLight', (inner) => {
    const light = radialPaint(inner, 'LightFade', [x, y], 60, 1500, [
      { at: 0, ink: gray(mood.isNight ? 85 : 70) },
      { at: 1, ink: gray(0) },
    ]);
    inner.fill(light, rectangle(-OVERRUN_MM, -OVERRUN_MM, 3600, y + 420));
  });
  canvas.withState('BookLightMask', { SMask: mask }, () => {
    for (let i = -4; i <= 4; i += 1) {
      const lean = i * 15 - 3;
      const [a, b] = [lean - 4.4, lean + 4.4].map((degrees) => (degrees * Math.PI) / 180);
      if (a === undefined || b === undefined) continue;
      const start = x + i * 92;
      canvas.fill(
        i % 2 === 0 ? PALETTE.gold : mood.isNight ? PALETTE.peach : PALETTE.cream,
        polygon([
          [start - 40, y + 150],
          [start + 40, y + 150],
          [start + 1700 * Math.sin(b), y - 1700 * Math.cos(b)],
          [start + 1700 * Math.sin(a), y - 1700 * Math.cos(a)],
        ]),
      );
    }
  });
}

/** The book's leaves turn into alder leaves and rise. */
function drawRisingLeaves(canvas: Canvas): void {
  drawLeafDrift(
    canvas,
    [
      [1150, 1000],
      [1330, 860],
      [1010, 820],
      [1520, 940],
      [830, 900],
      [1230, 640],
      [1640, 720],
      [940, 560],
      [1430, 460],
      [1900, 560],
      [700, 640],
      [1750, 320],
      [1180, 300],
      [2150, 400],
      [2080, 860],
      [540, 780],
    ],
    [alderRed(), PALETTE.gold, PALETTE.amber, PALETTE.sage, alderRed(75)],
    1.15,
    33,
  );
}

function drawSigns(canvas: Canvas, side: SceneSide, stock: Stock, mood: TrailerMood): void {
  const line = (id: string, face = stock.slab) => {
    const box = sideLettering(side, id);
    return face.lineFitted(box.text, box);
  };
  for (const part of [1, 2, 3]) {
    canvas.upright.fill(mood.title, stock.slab.outline(line(`title-${part}`)));
    stock.sans.show(canvas, mood.slogan, line(`slogan-${part}`, stock.sans));
  }
  stock.sans.show(canvas, PALETTE.cream, line('phone', stock.sans));
  const { x, y, width, height } = sideLettering(side, 'address');
  canvas.upright.fill(PALETTE.gold, roundedRectangle(x - 44, y - 30, width + 88, height + 48, 80));
  canvas.withState('Overprint', { OP: true, op: true, OPM: 1 }, () => {
    stock.slab.show(canvas, PALETTE.black, line('address'));
  });
}

const READING = { legs: PALETTE.ink, shoes: PALETTE.cream } as const;
const BROWN: ProcessInk = { kind: 'process', c: 22, m: 48, y: 60, k: 12 };
const FAIR: ProcessInk = { kind: 'process', c: 4, m: 26, y: 36, k: 0 };
const TAN: ProcessInk = { kind: 'process', c: 12, m: 36, y: 48, k: 4 };

/** Left: story time after sunset. */
export const LEFT_MOOD: TrailerMood = {
  valley: 'evening',
  sky: [
    { at: 0, ink: PALETTE.night },
    { at: 0.4, ink: PALETTE.dusk },
    { at: 0.75, ink: PALETTE.plum },
    { at: 1, ink: PALETTE.rose },
  ],
  title: PALETTE.cream,
  slogan: PALETTE.gold,
  hills: [PALETTE.dusk, { kind: 'process', c: 90, m: 62, y: 40, k: 22 }, PALETTE.ink],
  leaf: { kind: 'process', c: 86, m: 54, y: 36, k: 12 },
  orb: { at: [400, 330], radius: 190, ink: PALETTE.peach },
  isNight: true,
  drawReaders: (canvas) => {
    drawSittingReader(
      canvas,
      {
        ...READING,
        legs: PALETTE.dusk,
        skin: BROWN,
        hair: PALETTE.black,
        shirt: PALETTE.gold,
        cover: alderRed(),
      },
      'bun',
      { x: 2420, y: 1500, scale: 1.25 },
    );
    drawLyingReader(
      canvas,
      {
        ...READING,
        legs: PALETTE.lake,
        skin: FAIR,
        hair: PALETTE.amber,
        shirt: alderRed(),
        cover: PALETTE.gold,
      },
      'crop',
      { x: 2860, y: 1475, scale: 1.1 },
    );
  },
};

/** Right: the first stop of the day. */
export const RIGHT_MOOD: TrailerMood = {
  valley: 'morning',
  sky: [
    { at: 0, ink: { kind: 'process', c: 48, m: 5, y: 26, k: 0 } },
    { at: 0.5, ink: PALETTE.mist },
    { at: 1, ink: PALETTE.cream },
  ],
  title: PALETTE.deepTeal,
  slogan: PALETTE.deepTeal,
  hills: [PALETTE.lake, PALETTE.teal, PALETTE.deepTeal],
  leaf: { kind: 'process', c: 78, m: 27, y: 42, k: 9 },
  orb: { at: [430, 360], radius: 200, ink: PALETTE.gold },
  isNight: false,
  drawReaders: (canvas) => {
    drawSittingReader(
      canvas,
      { ...READING, skin: TAN, hair: PALETTE.ink, shirt: alderRed(), cover: PALETTE.gold },
      'long',
      { x: 2380, y: 1500, scale: 1.25 },
    );
    drawSittingReader(
      canvas,
      { ...READING, skin: BROWN, hair: PALETTE.black, shirt: PALETTE.amber, cover: PALETTE.lake },
      'crop',
      { x: 2960, y: 1470, scale: 1.2 },
    );
  },
};
