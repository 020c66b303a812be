/**
 * JPEG files made from random coefficients, with every freedom that ITU-T T.81 gives a Huffman-coded
 * sequential file: the crop must not depend on what common encoders happen to write.
 */
export interface JpegRecipe {
  readonly width: number;
  readonly height: number;
  /** Sampling factors across and down, by component. */
  readonly sampling: readonly (readonly [number, number])[];
  /** Components by scan; more than one group makes a file of several scans. */
  readonly scans: readonly (readonly number[])[];
  readonly restartInterval: number;
  readonly hasWideQuantisation: boolean;
  /** Adobe's transform flag in APP14 (0 none, 1 YCbCr, 2 YCCK); undefined: no such segment. */
  readonly adobeTransform: number | undefined;
  readonly seed: number;
  /** Every block of one level, without detail. */
  readonly isFlat?: boolean;
}

/** Numerical Recipes' linear congruential generator: the same file for the same seed. */
export function random(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

const dcSymbols = Array.from({ length: 12 }, (_, i) => i);
const acSymbols = [
  0,
  0xf0,
  ...Array.from({ length: 160 }, (_, i) => (Math.floor(i / 10) << 4) | (1 + (i % 10))),
];

export function jpegMade(recipe: JpegRecipe): Uint8Array {
  const { width, height, sampling, scans, restartInterval } = recipe;
  const next = random(recipe.seed);
  const isAlone = sampling.length === 1;
  const maxAcross = isAlone ? 1 : Math.max(...sampling.map(([h]) => h));
  const maxDown = isAlone ? 1 : Math.max(...sampling.map(([, v]) => v));
  const out: number[] = [0xff, 0xd8];
  const segment = (marker: number, body: readonly number[]): void => {
    out.push(0xff, marker, (body.length + 2) >> 8, (body.length + 2) & 255, ...body);
  };
  if (recipe.adobeTransform !== undefined) {
    segment(0xee, [...[...'Adobe'].map((c) => c.charCodeAt(0)), 0, 100, 0, 0, 0, 0, recipe.adobeTransform]);
  }
  segment(
    0xfe,
    [...'A comment'].map((c) => c.charCodeAt(0)),
  );
  for (const table of [0, 1]) {
    const steps = Array.from({ length: 64 }, (_, i) => 2 + table + Math.floor(i / 3));
    segment(
      0xdb,
      recipe.hasWideQuantisation ? [0x10 | table, ...steps.flatMap((q) => [0, q])] : [table, ...steps],
    );
  }
  segment(recipe.hasWideQuantisation ? 0xc1 : 0xc0, [
    8,
    height >> 8,
    height & 255,
    width >> 8,
    width & 255,
    sampling.length,
    ...sampling.flatMap(([h, v], i) => [i + 1, (h << 4) | v, i === 0 ? 0 : 1]),
  ]);
  segment(0xc4, [0x00, ...flatCounts(4, dcSymbols.length), ...dcSymbols]);
  segment(0xc4, [0x10, ...flatCounts(8, acSymbols.length), ...acSymbols]);
  if (restartInterval > 0) segment(0xdd, [restartInterval >> 8, restartInterval & 255]);

  const components = sampling.map(([h, v]) => ({
    across: isAlone ? 1 : h,
    down: isAlone ? 1 : v,
    blocksWide: Math.ceil(Math.ceil((width * (isAlone ? 1 : h)) / maxAcross) / 8),
    blocksHigh: Math.ceil(Math.ceil((height * (isAlone ? 1 : v)) / maxDown) / 8),
  }));
  for (const scan of scans) {
    segment(0xda, [scan.length, ...scan.flatMap((c) => [c + 1, 0x00]), 0, 63, 0]);
    const isInterleaved = scan.length > 1;
    const first = components[scan[0]!]!;
    const units = isInterleaved
      ? Math.ceil(width / (8 * maxAcross)) * Math.ceil(height / (8 * maxDown))
      : first.blocksWide * first.blocksHigh;
    const bits = new Bits(out);
    const levels = scan.map(() => 0);
    for (let unit = 0, restarts = 0; unit < units; unit++) {
      if (restartInterval > 0 && unit > 0 && unit % restartInterval === 0) {
        bits.flush();
        out.push(0xff, 0xd0 + (restarts++ & 7));
        levels.fill(0);
      }
      scan.forEach((c, i) => {
        const blocks = isInterleaved ? components[c]!.across * components[c]!.down : 1;
        for (let b = 0; b < blocks; b++)
          levels[i] = writeBlock(bits, next, levels[i]!, recipe.isFlat === true);
      });
    }
    bits.flush();
  }
  out.push(0xff, 0xd9);
  return Uint8Array.from(out);
}

/** All codes of one length: legal, and simple to write. */
const flatCounts = (length: number, count: number): number[] =>
  Array.from({ length: 16 }, (_, i) => (i === length - 1 ? count : 0));

function writeBlock(bits: Bits, next: () => number, before: number, isFlat: boolean): number {
  const level = Math.floor(next() * 400) - 200;
  const category = sizeOf(level - before);
  bits.put(category, 4);
  bits.value(level - before, category);
  let k = 1;
  while (!isFlat && k < 64 && next() < 0.8) {
    const run = Math.min(63 - k, Math.floor(next() ** 4 * 40));
    for (let left = run; left > 15; left -= 16) bits.put(1, 8);
    const value = (1 + Math.floor(next() ** 6 * 70)) * (next() < 0.5 ? -1 : 1);
    const size = sizeOf(value);
    bits.put(acSymbols.indexOf(((run % 16) << 4) | size), 8);
    bits.value(value, size);
    k += run + 1;
  }
  if (k < 64) bits.put(0, 8);
  return level;
}

const sizeOf = (value: number): number => Math.abs(value).toString(2).length - (value === 0 ? 1 : 0);

class Bits {
  private pending = '';
  private readonly out: number[];

  constructor(out: number[]) {
    this.out = out;
  }

  put(value: number, length: number): void {
    this.pending += length === 0 ? '' : value.toString(2).padStart(length, '0');
    for (; this.pending.length >= 8; this.pending = this.pending.slice(8)) {
      const byte = Number.parseInt(this.pending.slice(0, 8), 2);
      this.out.push(byte);
      if (byte === 0xff) this.out.push(0);
    }
  }

  value(value: number, size: number): void {
    this.put(value < 0 ? value + 2 ** size - 1 : value, size);
  }

  flush(): void {
    if (this.pending.length > 0) this.put(2 ** (8 - this.pending.length) - 1, 8 - this.pending.length);
  }
}
