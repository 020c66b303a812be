import { createRequire } from 'node:module';
import { type Canvas, createCanvas, GlobalFonts, type SKRSContext2D } from '@napi-rs/canvas';
import type { Rect } from '../../core/measure/rect.ts';
import type { SideRaster } from '../../core/seams/raster.ts';

const require = createRequire(import.meta.url);
export const LETTERED_FONTS = {
  'Lettered Sans': require.resolve('dejavu-fonts-ttf/ttf/DejaVuSans-Bold.ttf'),
  'Lettered Serif': require.resolve('dejavu-fonts-ttf/ttf/DejaVuSerif.ttf'),
} as const;
export type LetteredFont = keyof typeof LETTERED_FONTS;
for (const [name, path] of Object.entries(LETTERED_FONTS)) GlobalFonts.registerFromPath(path, name);

export interface LetteredArt {
  readonly raster: SideRaster;
  /** Where the lettering is, in finished mm, by the font's own measures. */
  readonly truth: readonly Rect<'finished'>[];
}

export const LETTERED_PPI = 10;
const MM_PER_PX = 25.4 / LETTERED_PPI;
const WORDS = [
  'Alder County Library',
  'Bookmobile',
  'Read on the road',
  'Tuesdays 10 to 4',
  'Open shelves',
  '555 0142',
];

/** A repeatable stream of numbers from 0 to 1: tests that draw pictures must draw the same ones each time. */
export function numberStream(seed: number): () => number {
  let state = seed >>> 0 || 1;
  return () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    state >>>= 0;
    return state / 0x1_0000_0000;
  };
}

/** One line of lettering, in pixels of the picture. */
export interface LetteredLine {
  readonly words: string;
  readonly font: LetteredFont;
  readonly size: number;
  readonly x: number;
  readonly baseline: number;
  /** Red, green, blue, 0 to 255. */
  readonly tone: readonly [number, number, number];
}

export interface LetteredScene {
  /** All but the lettering. */
  readonly canvas: Canvas;
  readonly lines: readonly LetteredLine[];
  readonly truth: LetteredArt['truth'];
}

type Ground = 'flat' | 'graded' | 'photo';

/**
 * A side of 4,300 × 1,500 mm at 10 ppi: a flat, graded or photograph-like ground, shapes that are no lettering (discs,
 * a stripe, rivets, a picket fence), and where a few lines of lettering stand on it.
 */
export function letteredScene(next: () => number, ground: Ground): LetteredScene {
  const [width, height] = [Math.round(4300 / MM_PER_PX), Math.round(1500 / MM_PER_PX)];
  const canvas = createCanvas(width, height);
  const pen = canvas.getContext('2d');
  const isLightGround = next() < 0.5;
  paintGround(pen, width, height, ground, isLightGround, next);
  paintDistractions(pen, width, height, next);

  const lines: LetteredLine[] = [];
  const truth: Rect<'finished'>[] = [];
  const count = 2 + Math.floor(next() * 3);
  for (let i = 0; i < count; i++) {
    const size = 16 + next() * 60;
    const words = WORDS[Math.floor(next() * WORDS.length)]!;
    const font = next() < 0.6 ? 'Lettered Sans' : 'Lettered Serif';
    pen.font = `${size}px "${font}"`;
    const measure = pen.measureText(words);
    const rowTop = (height / count) * i + 12;
    const room = height / count - 24;
    if (measure.width > width - 60 || size * 1.3 > room) continue;
    const x = 30 + next() * (width - measure.width - 60);
    const baseline = rowTop + measure.actualBoundingBoxAscent + next() * Math.max(1, room - size * 1.3);
    const tone = isLightGround ? 10 + next() * 40 : 215 + next() * 40;
    lines.push({ words, font, size, x, baseline, tone: [tone, tone * (0.7 + 0.3 * next()), tone] });
    truth.push({
      x: (x - measure.actualBoundingBoxLeft) * MM_PER_PX,
      y: (baseline - measure.actualBoundingBoxAscent) * MM_PER_PX,
      width: (measure.actualBoundingBoxLeft + measure.actualBoundingBoxRight) * MM_PER_PX,
      height: (measure.actualBoundingBoxAscent + measure.actualBoundingBoxDescent) * MM_PER_PX,
    });
  }
  return { canvas, lines, truth };
}

export function paintLettering({ canvas, lines }: LetteredScene): void {
  const pen = canvas.getContext('2d');
  for (const { words, font, size, x, baseline, tone } of lines) {
    pen.font = `${size}px "${font}"`;
    pen.fillStyle = `rgb(${tone.join(', ')})`;
    pen.fillText(words, x, baseline);
  }
}

export const sceneStream = (seed: number): (() => number) => numberStream(seed * 7919 + 17);

/** A scene painted as a picture, with grain over all of it where `grain` says so. */
export function letteredArt(seed: number, ground: Ground, grain: number): LetteredArt {
  const next = sceneStream(seed);
  const scene = letteredScene(next, ground);
  paintLettering(scene);
  const { width, height } = scene.canvas;
  const { data } = scene.canvas.getContext('2d').getImageData(0, 0, width, height);
  if (grain > 0) {
    for (let i = 0; i < data.length; i++) {
      if (i % 4 !== 3) data[i] = Math.max(0, Math.min(255, data[i]! + (next() - 0.5) * 2 * grain));
    }
  }
  return { raster: { width, height, channels: 4, data, ppi: LETTERED_PPI }, truth: scene.truth };
}

function paintGround(
  pen: SKRSContext2D,
  width: number,
  height: number,
  kind: 'flat' | 'graded' | 'photo',
  isLight: boolean,
  next: () => number,
): void {
  const tone = (low: number, high: number) => {
    const value = isLight ? 255 - low - next() * (high - low) : low + next() * (high - low);
    return `rgb(${value}, ${value * (0.9 + 0.1 * next())}, ${value})`;
  };
  pen.fillStyle = tone(5, 60);
  pen.fillRect(0, 0, width, height);
  if (kind === 'flat') return;
  if (kind === 'graded') {
    const gradient = pen.createLinearGradient(0, 0, width, height * next());
    gradient.addColorStop(0, tone(0, 30));
    gradient.addColorStop(1, tone(50, 90));
    pen.fillStyle = gradient;
    pen.fillRect(0, 0, width, height);
    return;
  }
  for (let i = 0; i < 400; i++) {
    const [x, y, r] = [next() * width, next() * height, 10 + next() * 90];
    const blob = pen.createRadialGradient(x, y, 0, x, y, r);
    blob.addColorStop(0, tone(0, 110));
    blob.addColorStop(1, 'rgba(128, 128, 128, 0)');
    pen.fillStyle = blob;
    pen.fillRect(x - r, y - r, 2 * r, 2 * r);
  }
}

function paintDistractions(pen: SKRSContext2D, width: number, height: number, next: () => number): void {
  for (let i = 0; i < 5; i++) {
    pen.fillStyle = `hsl(${next() * 360}, 70%, ${30 + next() * 40}%)`;
    pen.beginPath();
    pen.arc(next() * width, next() * height, 15 + next() * 60, 0, 2 * Math.PI);
    pen.fill();
  }
  pen.fillStyle = '#7a7a7a';
  pen.fillRect(0, height * next(), width, 6 + next() * 20);
  const rivetRow = height * next();
  for (let x = 20; x < width; x += 48) pen.fillRect(x, rivetRow, 9, 9);
  const [fenceLeft, fenceTop] = [width * 0.6 * next(), height * 0.8 * next()];
  for (let i = 0; i < 14; i++) pen.fillRect(fenceLeft + 21 * i, fenceTop, 7, 44);
}
