/**
 * Draws a photo of the bookmobile's driver side before it is wrapped, as a camera before it would take it: from the numbers
 * of scene.ts, with perspective and the barrel of a wide lens. Run it to write the photo and its points anew:
 *
 *     node test/demo-art/side-photo.ts
 */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { createCanvas, ImageData, type SKRSContext2D } from '@napi-rs/canvas';
import { BOOKMOBILE, type Box, type SceneSide } from './scene.ts';

const PHOTO_PX = { width: 2400, height: 1350 } as const;
const HALF_DIAGONAL_PX = Math.hypot(PHOTO_PX.width, PHOTO_PX.height) / 2;
/** The camera stands 1.6 m above the ground, a little behind the middle, and is turned towards the front. */
const CAMERA = { xMm: 4300, yMm: 1000, distanceMm: 6600, yawDegrees: -6, focalPx: 1750, k1: -0.09 } as const;

type XY = readonly [x: number, y: number];

const yaw = (CAMERA.yawDegrees * Math.PI) / 180;
const [COS, SIN] = [Math.cos(yaw), Math.sin(yaw)];

/** Where a place of the side, in finished mm, appears on the photo, in pixels from its upper left corner. */
export function photoPoint([xMm, yMm]: XY): XY {
  const [x, y, z] = [xMm - CAMERA.xMm, yMm - CAMERA.yMm, CAMERA.distanceMm];
  const depth = SIN * x + COS * z;
  const u = (CAMERA.focalPx * (COS * x - SIN * z)) / depth;
  const v = (CAMERA.focalPx * y) / depth;
  const bend = 1 + CAMERA.k1 * ((u * u + v * v) / HALF_DIAGONAL_PX ** 2);
  return [PHOTO_PX.width / 2 + u * bend, PHOTO_PX.height / 2 + v * bend];
}

/** The place in the plane of the side that a pixel shows; undefined above the horizon of that plane. */
function placeOf(px: number, py: number): XY | undefined {
  const [du, dv] = [px - PHOTO_PX.width / 2, py - PHOTO_PX.height / 2];
  let bend = 1;
  for (let round = 0; round < 12; round += 1) {
    bend = 1 + (CAMERA.k1 * ((du / bend) ** 2 + (dv / bend) ** 2)) / HALF_DIAGONAL_PX ** 2;
  }
  const [u, v] = [du / bend / CAMERA.focalPx, dv / bend / CAMERA.focalPx];
  const forward = COS - SIN * u;
  if (forward <= 0.05) return undefined;
  const x = (CAMERA.distanceMm * (COS * u + SIN)) / forward;
  const depth = SIN * x + COS * CAMERA.distanceMm;
  return [x + CAMERA.xMm, v * depth + CAMERA.yMm];
}

/** Pixels per mm of the flat drawing that the photo shows. */
const FLAT_PX = 0.4;
/** What the drawing holds around the side. */
const AROUND_MM = 2600;

function flatDrawing(side: SceneSide): {
  readonly data: Uint8ClampedArray;
  readonly width: number;
  readonly height: number;
} {
  const width = Math.round((side.widthMm + 2 * AROUND_MM) * FLAT_PX);
  const height = Math.round((side.heightMm + 2 * AROUND_MM) * FLAT_PX);
  const context = createCanvas(width, height).getContext('2d');
  context.scale(FLAT_PX, FLAT_PX);
  context.translate(AROUND_MM, AROUND_MM);
  drawSurroundings(context, side);
  drawBody(context, side);
  return { data: context.getImageData(0, 0, width, height).data, width, height };
}

const GROUND_GAP_MM = 260;

function drawSurroundings(context: SKRSContext2D, { widthMm, heightMm }: SceneSide): void {
  const ground = heightMm + GROUND_GAP_MM;
  const sky = context.createLinearGradient(0, -AROUND_MM, 0, ground);
  sky.addColorStop(0, '#b9cbd9');
  sky.addColorStop(1, '#e4e7e6');
  context.fillStyle = sky;
  context.fillRect(-AROUND_MM, -AROUND_MM, widthMm + 2 * AROUND_MM, ground + AROUND_MM);
  context.fillStyle = '#8f9a86';
  context.fillRect(-AROUND_MM, ground - 1500, widthMm + 2 * AROUND_MM, 1100);
  context.fillStyle = '#83827e';
  context.fillRect(-AROUND_MM, ground - 400, widthMm + 2 * AROUND_MM, AROUND_MM + 400);
  context.fillStyle = 'rgba(20, 22, 24, 0.45)';
  context.fillRect(-120, ground - 60, widthMm + 240, 220);
}

function drawBody(context: SKRSContext2D, side: SceneSide): void {
  const { widthMm, heightMm } = side;
  const paint = context.createLinearGradient(0, 0, 0, heightMm);
  paint.addColorStop(0, '#f3f3ef');
  paint.addColorStop(0.45, '#e6e7e4');
  paint.addColorStop(1, '#c3c6c5');
  context.fillStyle = paint;
  context.beginPath();
  context.roundRect(0, 0, widthMm, heightMm, [180, 60, 40, 60]);
  context.fill();
  for (const { kind, direction, at, shape, from, to } of side.bodyLines) {
    const isLying = direction === 'horizontal';
    const places = shape ?? [[from ?? 0, 0] as const, [to ?? (isLying ? widthMm : heightMm), 0] as const];
    context.strokeStyle = kind === 'body-gap' ? '#2f3335' : kind === 'molding' ? '#8d9193' : '#a7abac';
    context.lineWidth = kind === 'body-gap' ? 12 : kind === 'molding' ? 26 : 8;
    context.setLineDash(kind === 'rivet-row' ? [12, 48] : []);
    context.beginPath();
    for (const [along, off] of places) {
      if (isLying) context.lineTo(along, at + off);
      else context.lineTo(at + off, along);
    }
    context.stroke();
  }
  context.setLineDash([]);
  for (const area of side.noFilmAreas) drawFixture(context, area);
}

const FIXTURES: Readonly<Record<string, string>> = {
  window: '#39444b',
  lamp: '#b5651d',
  handle: '#26292b',
  sensor: '#1d1f21',
  'fuel-flap': '#d5d7d5',
};

function drawFixture(
  context: SKRSContext2D,
  { kind, x, y, width, height }: Box & { readonly kind: string },
): void {
  if (kind === 'wheel-arch') {
    const [cx, radius] = [x + width / 2, width / 2];
    for (const [color, share] of [
      ['#202325', 1],
      ['#101112', 0.86],
      ['#9b9ea0', 0.5],
      ['#5c6062', 0.2],
    ] as const) {
      context.fillStyle = color;
      context.beginPath();
      context.arc(cx, y + radius, radius * share, 0, 2 * Math.PI);
      context.fill();
    }
    return;
  }
  context.fillStyle = FIXTURES[kind] ?? '#777777';
  context.strokeStyle = '#55595b';
  context.lineWidth = 10;
  context.beginPath();
  context.roundRect(x, y, width, height, Math.min(40, width / 3, height / 3));
  context.fill();
  context.stroke();
}

/** As JPEG. */
export async function sidePhoto(side: SceneSide): Promise<Uint8Array> {
  const flat = flatDrawing(side);
  const { width, height } = PHOTO_PX;
  const pixels = new Uint8ClampedArray(width * height * 4).fill(255);
  for (let py = 0; py < height; py += 1) {
    for (let px = 0; px < width; px += 1) {
      const place = placeOf(px + 0.5, py + 0.5);
      if (place) setSample(flat, place, pixels, 4 * (py * width + px));
    }
  }
  const canvas = createCanvas(width, height);
  canvas.getContext('2d').putImageData(new ImageData(pixels, width, height), 0, 0);
  return await canvas.encode('jpeg', 82);
}

/** Between the four nearest pixels of the drawing; past its edge the nearest. */
function setSample(
  { data, width, height }: ReturnType<typeof flatDrawing>,
  [xMm, yMm]: XY,
  pixels: Uint8ClampedArray,
  to: number,
): void {
  const clamped = (value: number, most: number) => Math.min(most - 1.001, Math.max(0, value));
  const x = clamped((xMm + AROUND_MM) * FLAT_PX - 0.5, width);
  const y = clamped((yMm + AROUND_MM) * FLAT_PX - 0.5, height);
  const [left, top] = [Math.floor(x), Math.floor(y)];
  const [dx, dy] = [x - left, y - top];
  const at = 4 * (top * width + left);
  for (let channel = 0; channel < 3; channel += 1) {
    const value = (offset: number) => data[at + offset + channel]!;
    const upper = value(0) * (1 - dx) + value(4) * dx;
    const lower = value(4 * width) * (1 - dx) + value(4 * width + 4) * dx;
    pixels[to + channel] = upper * (1 - dy) + lower * dy;
  }
}

/** What somebody would click on it: corners of the body and of windows, to the pixel, and two edges that are straight. */
export function sidePhotoPoints({ widthMm, heightMm, noFilmAreas }: SceneSide): unknown {
  const window = noFilmAreas.find(({ id }) => id === 'door-window')!;
  const arch = noFilmAreas.find(({ id }) => id === 'arch-rear')!;
  const clicked = (place: XY) => photoPoint(place).map(Math.round) as unknown as XY;
  const places: readonly XY[] = [
    [widthMm, 0],
    [widthMm, heightMm],
    [0, heightMm],
    [window.x, window.y],
    [window.x + window.width, window.y + window.height],
    [arch.x, arch.y + arch.width / 2],
  ];
  const edges: readonly XY[][] = [0, heightMm].map((y) =>
    [0.06, 0.25, 0.45, 0.7, 0.97].map((share): XY => [share * widthMm, y]),
  );
  return {
    points: places.map((place) => {
      const [xPx, yPx] = clicked(place);
      return { xPx, yPx, xMm: place[0], yMm: place[1] };
    }),
    straightLines: edges.map((edge) => edge.map(clicked).map(([xPx, yPx]) => ({ xPx, yPx }))),
  };
}

export const PHOTO_NAME = 'bookmobile-driver-side';

if (import.meta.main) {
  const folder = join(import.meta.dirname, '../../assets/demo');
  const [side] = BOOKMOBILE.sides;
  writeFileSync(join(folder, `${PHOTO_NAME}.jpg`), await sidePhoto(side!));
  const points = JSON.stringify(sidePhotoPoints(side!), undefined, 2);
  writeFileSync(join(folder, `${PHOTO_NAME}.points.json`), `${points}\n`);
}
