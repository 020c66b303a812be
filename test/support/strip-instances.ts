import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { z } from 'zod';
import { type NestItem, nestBounds } from '../../core/nesting/nest-bounds.ts';
import { panelOf, type RollCase, rollOf, rulesOf } from './roll-plan-cases.ts';

const DATA = join(import.meta.dirname, '../bench/data');

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

const OptimaFile = z.object({
  optima: z.array(z.object({ name: z.string(), optimalHeight: z.number().positive(), cuts: z.string() })),
  leastHeights: z.array(z.object({ name: z.string(), leastHeight: z.number().positive() })),
});

const optimaFile = () =>
  OptimaFile.parse(JSON.parse(readFileSync(join(DATA, 'guillotine-optima.json'), 'utf8')));

export interface StripInstance {
  readonly name: string;
  readonly stripWidth: number;
  /** Where cuts need not go straight through. */
  readonly optimalHeight: number;
  readonly items: readonly NestItem[];
}

export const HOPPER_TURTON_FILE = join(DATA, 'hopper-turton.json');

export const stripInstancesFromFile = (path = HOPPER_TURTON_FILE): StripInstance[] =>
  InstanceFile.parse(JSON.parse(readFileSync(path, 'utf8'))).instances.map((instance) => ({
    ...instance,
    items: instance.items.map(([width, height]) => ({ width, height })),
  }));

/** Instances whose least height by straight cuts is verified by the cuts themselves. */
export const guillotineOptima = () => optimaFile().optima;

/** Instances that straight cuts cannot part from film without waste, by trying all; whole heights, so one more is needed. */
export const leastHeightsByTrying = () => optimaFile().leastHeights;

/**
 * The least height that straight cuts are known to need: the verified optimum, else a bound for straight cuts, else the
 * best bound of packings that need not have any.
 */
export function leastGuillotineHeight({ name, stripWidth, items }: StripInstance) {
  const verified = guillotineOptima().find((optimum) => optimum.name === name);
  if (verified) return { height: verified.optimalHeight, kind: 'optimum' } as const;
  const height = nestBounds(items, stripWidth).best;
  const tried = leastHeightsByTrying().find((least) => least.name === name);
  return tried && tried.leastHeight > height
    ? ({ height: tried.leastHeight, kind: 'bound of cuts' } as const)
    : ({ height, kind: 'bound of packings' } as const);
}

/** A strip as a roll that is all printable, with nothing to turn and no space between panels. */
export const rollCaseFromStrip = (items: readonly NestItem[], stripWidth: number): RollCase => ({
  items: items.map(({ width, height }, index) => panelOf(index + 1, width, height)),
  rolls: [
    rollOf({
      widthMm: stripWidth,
      leftMarginMm: 0,
      rightMarginMm: 0,
      leadInMm: 0,
      tailMm: 0,
      usableLengthMm: items.reduce((sum, item) => sum + item.height, 1),
    }),
  ],
  rules: rulesOf({ gapMm: 0, printOrder: 'any' }),
});
