/**
 * Packs published strip-packing instances and says how far above the known optimum each packing is:
 * `npm run bench pack [-- file]`. Every packing is checked before it counts.
 */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { z } from 'zod';
import type { StripItem } from '../../core/rolls/strip.ts';
import { stripPacking } from '../../core/rolls/strip-packing.ts';
import { stripPackingFaults } from '../support/strip-check.ts';

const InstanceFile = z.object({
  instances: z
    .array(
      z.object({
        name: z.string(),
        stripWidth: z.number().positive(),
        optimalHeight: z.number().positive(),
        items: z.array(z.tuple([z.number().positive(), z.number().positive()])).min(1),
      }),
    )
    .min(1),
});

export interface StripInstance {
  readonly name: string;
  readonly stripWidth: number;
  readonly optimalHeight: number;
  readonly items: readonly StripItem[];
}

export const HOPPER_TURTON_FILE = join(import.meta.dirname, 'data/hopper-turton.json');

export const stripInstancesFromFile = (path: string): StripInstance[] =>
  InstanceFile.parse(JSON.parse(readFileSync(path, 'utf8'))).instances.map((instance) => ({
    ...instance,
    items: instance.items.map(([width, height]) => ({ width, height })),
  }));

export function run(args: string[]): void {
  const results = stripInstancesFromFile(args[0] ?? HOPPER_TURTON_FILE).map((instance) => {
    const start = performance.now();
    const packing = stripPacking(instance.items, instance.stripWidth);
    const seconds = (performance.now() - start) / 1000;
    const faults = stripPackingFaults(instance.items, instance.stripWidth, packing);
    if (faults.length > 0) throw new Error(`${instance.name}: ${faults.join(' ')}`);
    const gap = packing.height / instance.optimalHeight - 1;
    console.log(
      [
        instance.name.padEnd(8),
        `${instance.items.length} items`.padStart(10),
        `height ${packing.height}`.padStart(12),
        `optimum ${instance.optimalHeight}`.padStart(12),
        `bound ${packing.bound}`.padStart(10),
        `gap ${(100 * gap).toFixed(2)} %`.padStart(11),
        `${seconds.toFixed(2)} s`.padStart(8),
      ].join('  '),
    );
    return { gap, seconds };
  });
  const gaps = results.map((result) => result.gap);
  console.log(
    JSON.stringify({
      meanGap: rounded(gaps.reduce((sum, gap) => sum + gap, 0) / gaps.length),
      worstGap: rounded(Math.max(...gaps)),
      worstSeconds: rounded(Math.max(...results.map((result) => result.seconds))),
    }),
  );
}

const rounded = (value: number): number => Math.round(value * 1e5) / 1e5;
