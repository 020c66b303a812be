import { randomFrom, ridgeLine } from '../support/random.ts';
import { type Raster, rasterNew } from './pictures.ts';

type Rgb = readonly [number, number, number];

/** The light in which a valley is seen. Colors 0…255; the sun's place as parts of width and height. */
export interface ValleyLight {
  readonly seed: number;
  readonly zenith: Rgb;
  readonly horizon: Rgb;
  readonly haze: Rgb;
  readonly near: Rgb;
  readonly sun: Rgb;
  readonly sunX: number;
  readonly sunY: number;
}

interface Ridge {
  /** Height of the outline in rows, one for each column, and that of the ground under its trees. */
  readonly top: Float32Array;
  readonly ground: Float32Array;
  readonly crest: Rgb;
  readonly foot: Rgb;
  readonly fadeRows: number;
}

const RIDGES = 7;

/** A valley in the early or the late light: hills behind hills, each paler than the one before it. RGB. */
export function valleyPicture(width: number, height: number, light: ValleyLight): Raster {
  const raster = rasterNew(width, height, 3);
  const ridges = Array.from({ length: RIDGES }, (_, i) => ridgeAt(i, width, height, light));
  paintSky(raster, light, ridges[0]);
  for (const [i, ridge] of ridges.entries()) paintRidge(raster, ridge, ridges[i + 1]);
  return raster;
}

/** The sky down to the outline of the furthest hills. */
function paintSky({ width, height, samples }: Raster, light: ValleyLight, furthest: Ridge | undefined): void {
  const [sunX, sunY] = [light.sunX * width, light.sunY * height];
  for (let y = 0; y < height; y += 1) {
    const t = Math.min(1, y / height / 0.62);
    const [r, g, b] = mixed(light.zenith, light.horizon, t * t * (3 - 2 * t));
    for (let x = 0; x < width; x += 1) {
      if (y > (furthest?.top[x] ?? height) + 1) continue;
      const distance = Math.sqrt((x - sunX) ** 2 + (y - sunY) ** 2) / height;
      const disc = Math.min(1, Math.max(0, (0.085 - distance) * 160));
      const glow = Math.max(disc, 0.75 * Math.exp(-distance * 2.6));
      const at = (y * width + x) * 3;
      samples[at] = r + (light.sun[0] - r) * glow;
      samples[at + 1] = g + (light.sun[1] - g) * glow;
      samples[at + 2] = b + (light.sun[2] - b) * glow;
    }
  }
}

/** One hill from its outline down to that of the next nearer one, its edge softened over one row. */
function paintRidge({ width, height, samples }: Raster, ridge: Ridge, nearer: Ridge | undefined): void {
  const { crest, foot, fadeRows } = ridge;
  for (let x = 0; x < width; x += 1) {
    const top = ridge.top[x] ?? height;
    const ground = ridge.ground[x] ?? height;
    const end = Math.min(height, Math.max(0, (nearer?.top[x] ?? height) + 2));
    for (let y = Math.max(0, Math.ceil(top - 0.5)); y < end; y += 1) {
      const cover = Math.min(1, y - top + 0.5);
      const t = Math.min(1, Math.max(0, y - ground) / fadeRows);
      const at = (y * width + x) * 3;
      for (let part = 0; part < 3; part += 1) {
        const under = samples[at + part] ?? 0;
        const light = (crest[part] ?? 0) + ((foot[part] ?? 0) - (crest[part] ?? 0)) * t;
        samples[at + part] = under + (light - under) * cover;
      }
    }
  }
}

function ridgeAt(index: number, width: number, height: number, light: ValleyLight): Ridge {
  const depth = index / (RIDGES - 1);
  const outline = ridgeLine(light.seed + index * 17, 6);
  const base = height * (0.5 + 0.42 * depth ** 1.2);
  const swing = height * (0.3 - 0.1 * depth);
  const top = new Float32Array(width);
  for (let x = 0; x < width; x += 1) top[x] = base - swing * (outline((x / height) * 1.7 + index * 5) - 0.35);
  const ground = top.slice();
  if (depth > 0.45) plantTrees(top, height, depth, light.seed + index);
  return {
    top,
    ground,
    crest: mixed(light.haze, light.near, depth ** 1.15),
    foot: mixed(mixed(light.haze, light.near, depth ** 1.15), light.haze, 0.62 - 0.3 * depth),
    fadeRows: height * 0.3,
  };
}

/** Raises the outline by the rounded crowns of a wood, smaller on hills further off. */
function plantTrees(top: Float32Array, height: number, depth: number, seed: number): void {
  const random = randomFrom(seed * 101);
  const ground = top.slice();
  const crown = height * 0.05 * (depth - 0.25);
  for (let center = -crown; center < top.length + crown; center += crown * (0.35 + 0.9 * random())) {
    const half = crown * (0.45 + 0.5 * random());
    const tall = half * (1.5 + 1.3 * random());
    const foot = ground[Math.max(0, Math.min(top.length - 1, Math.round(center)))] ?? height;
    for (let x = Math.max(0, Math.ceil(center - half)); x < Math.min(top.length, center + half); x += 1) {
      const across = (x - center) / half;
      const crest = foot - tall * (1 - Math.abs(across) ** 2.4);
      top[x] = Math.min(top[x] ?? height, crest);
    }
  }
}

const mixed = (a: Rgb, b: Rgb, t: number): Rgb => [
  a[0] + (b[0] - a[0]) * t,
  a[1] + (b[1] - a[1]) * t,
  a[2] + (b[2] - a[2]) * t,
];
