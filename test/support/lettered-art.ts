import { createRequire } from 'node:module';
import { createCanvas, GlobalFonts, type SKRSContext2D } from '@napi-rs/canvas';
import type { Rect } from '../../core/measure/rect.ts';
import type { SideRaster } from '../../core/seams/raster.ts';

const require = createRequire(import.meta.url);
GlobalFonts.registerFromPath(require.resolve('dejavu-fonts-ttf/ttf/DejaVuSans-Bold.ttf'), 'Lettered Sans');
GlobalFonts.registerFromPath(require.resolve('dejavu-fonts-ttf/ttf/DejaVuSerif.ttf'), 'Lettered Serif');

export interface LetteredArt {
  readonly raster: SideRaster;
  /** Where the lettering is, in finished mm, by the font's own measures. */
  readonly truth: readonly Rect<'finished'>[];
}

const PPI = 10;
const MM_PER_PX = 25.4 / PPI;
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

/**
 * A side of 4,300 × 1,500 mm at 10 ppi: a flat, graded or photograph-like ground, shapes that are no lettering (discs,
 * a stripe, rivets, a picket fence), a few lines of lettering, and grain over all of it where `grain` says so.
 */
export function letteredArt(seed: number, ground: 'flat' | 'graded' | 'photo', grain: number): LetteredArt {
  const next = numberStream(seed * 7919 + 17);
  const [width, height] = [Math.round(4300 / MM_PER_PX), Math.round(1500 / MM_PER_PX)];
  const canvas = createCanvas(width, height);
  const pen = canvas.getContext('2d');
  const isLightGround = next() < 0.5;
  paintGround(pen, width, height, ground, isLightGround, next);
  paintDistractions(pen, width, height, next);

  const truth: Rect<'finished'>[] = [];
  const lines = 2 + Math.floor(next() * 3);
  for (let i = 0; i < lines; i++) {
    const size = 16 + next() * 60;
    const words = WORDS[Math.floor(next() * WORDS.length)]!;
    pen.font = `${size}px "${next() < 0.6 ? 'Lettered Sans' : 'Lettered Serif'}"`;
    const measure = pen.measureText(words);
    const rowTop = (height / lines) * i + 12;
    const room = height / lines - 24;
    if (measure.width > width - 60 || size * 1.3 > room) continue;
    const x = 30 + next() * (width - measure.width - 60);
    const baseline = rowTop + measure.actualBoundingBoxAscent + next() * Math.max(1, room - size * 1.3);
    const tone = isLightGround ? 10 + next() * 40 : 215 + next() * 40;
    pen.fillStyle = `rgb(${tone}, ${tone * (0.7 + 0.3 * next())}, ${tone})`;
    pen.fillText(words, x, baseline);
    truth.push({
      x: (x - measure.actualBoundingBoxLeft) * MM_PER_PX,
      y: (baseline - measure.actualBoundingBoxAscent) * MM_PER_PX,
      width: (measure.actualBoundingBoxLeft + measure.actualBoundingBoxRight) * MM_PER_PX,
      height: (measure.actualBoundingBoxAscent + measure.actualBoundingBoxDescent) * MM_PER_PX,
    });
  }
  const { data } = pen.getImageData(0, 0, width, height);
  if (grain > 0) {
    for (let i = 0; i < data.length; i++) {
      if (i % 4 !== 3) data[i] = Math.max(0, Math.min(255, data[i]! + (next() - 0.5) * 2 * grain));
    }
  }
  return { raster: { width, height, channels: 4, data, ppi: PPI }, truth };
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
