import fc from 'fast-check';
import { pictureEnergyFromBusy } from '../../core/seams/picture-energy.ts';
import { LineKind, type PlanSide, type PlanStock } from '../../core/seams/plan-side.ts';
import type { SeamAxis } from '../../core/seams/seam-place.ts';
import { costCardSchema } from '../../core/shop/cost-card.ts';

interface Sizes {
  readonly width: readonly [number, number];
  readonly height: readonly [number, number];
  readonly roll: readonly [number, number];
  readonly linesEachWay: number;
}

/** A random card: any shop at all, from one that counts only film to one that counts only hours. */
export const randomCard = fc
  .record({
    laborPerHour: fc.integer({ min: 0, max: 90 }),
    filmPerSquareMeter: fc.integer({ min: 0, max: 40_000 }),
    offcutWasteShare: fc.constantFrom(0, 0.37, 0.5, 1),
    pictureMinutesPerMeter: fc.integer({ min: 0, max: 3000 }),
    letteringMinutesPerCrossing: fc.integer({ min: 0, max: 25 }),
    shopTrimMinutesPerEdge: fc.integer({ min: 0, max: 7 }),
    panelInstallMinutes: fc.integer({ min: 0, max: 17 }),
    panelInstallMinutesPerMeter: fc.integer({ min: 0, max: 900 }),
    visibleSeamPerMeter: fc.integer({ min: 0, max: 900 }),
    seamMinutesPerMeter: fc.record({
      flat: fc.integer({ min: 0, max: 300 }),
      curve: fc.integer({ min: 0, max: 700 }),
      recess: fc.integer({ min: 0, max: 1900 }),
      gap: fc.integer({ min: 0, max: 200 }),
    }),
  })
  .map((figures) => costCardSchema.parse(figures));

/** Sides small enough to write down every layout, with everything on them that a planner can meet. */
export function randomSide({ width, height, roll, linesEachWay }: Sizes): fc.Arbitrary<PlanSide> {
  const between = ([min, max]: readonly [number, number]) => fc.integer({ min, max });
  return fc.record({ width: between(width), height: between(height) }).chain((size) => {
    const rect = fc
      .record({
        x: fc.integer({ min: 0, max: size.width - 2 }),
        y: fc.integer({ min: 0, max: size.height - 2 }),
        width: fc.integer({ min: 1, max: Math.ceil(size.width / 2) }),
        height: fc.integer({ min: 1, max: Math.ceil(size.height / 2) }),
      })
      .map((r) => r);
    const areas = (most: number) =>
      fc.array(rect, { maxLength: most }).map((rects) => rects.map((r, i) => ({ id: `a${i}`, rect: r })));
    const line = (axis: SeamAxis) => {
      const [length, across] = axis === 'vertical' ? [size.width, size.height] : [size.height, size.width];
      return fc
        .record({
          kind: fc.constantFrom(...LineKind.options),
          // Half millimeters too: lines need not lie on the planner's grid.
          at: fc.integer({ min: 2, max: 2 * length - 2 }).map((half) => half / 2),
          isPartial: fc.boolean(),
          from: fc.integer({ min: 0, max: Math.floor(across / 2) }),
          width: fc.constantFrom(0, 1, 3),
        })
        .map(({ isPartial, from, ...rest }) => ({
          ...rest,
          axis,
          from: isPartial ? from : 0,
          to: isPartial ? from + Math.ceil(across / 2) : across,
        }));
    };
    const lines = fc
      .tuple(
        fc.array(line('vertical'), { maxLength: linesEachWay }),
        fc.array(line('horizontal'), { maxLength: linesEachWay }),
      )
      .map(([v, h]) => {
        // Two lines at one place are a case of its own; here each place has one.
        const seen = new Set<string>();
        return [...v, ...h]
          .filter(({ axis, at }) => !seen.has(`${axis}${at}`) && seen.add(`${axis}${at}`))
          .map((one, i) => ({ id: `l${i}`, ...one }));
      });
    const picture = fc
      .array(fc.float({ min: 0, max: 1, noNaN: true }), { minLength: 30, maxLength: 30 })
      .map((values) => {
        const cell = 5;
        const [columns, rows] = [Math.ceil(size.width / cell), Math.ceil(size.height / cell)];
        const busy = Float32Array.from({ length: columns * rows }, (_, i) => values[(i * 7) % 30]!);
        return pictureEnergyFromBusy(busy, columns, rows, cell);
      });
    const edge = fc.integer({ min: 0, max: 2 });
    return fc
      .record({
        front: fc.constantFrom('left' as const, 'right' as const),
        lines,
        noSeamAreas: areas(2),
        lettering: fc
          .tuple(areas(2), fc.integer({ min: 90, max: 600 }), fc.boolean())
          .map(([list, capHeightMm, hasStroke]) =>
            list.map(({ id, rect: r }) => ({
              id,
              rect: r,
              words: [{ ...r, width: r.width / 2 }],
              strokes: hasStroke ? [{ ...r, width: 1 }] : [],
              capHeightMm,
              isSure: true,
            })),
          ),
        ground: areas(2).map((list) =>
          list.map((area, i) => ({ ...area, kind: i === 0 ? ('recess' as const) : ('curve' as const) })),
        ),
        // Now and then as high or as long as the side, so that a whole panel of a sequence lies in it.
        noFilmAreas: fc.tuple(areas(1), fc.nat({ max: 3 })).map(([list, way]) =>
          list.map(({ id, rect: r }) => ({
            id,
            rect:
              way === 0
                ? { ...r, width: Math.min(4, r.width), y: 0, height: size.height }
                : way === 1
                  ? { ...r, height: Math.min(4, r.height), x: 0, width: size.width }
                  : r,
            margin: 1,
          })),
        ),
        bleed: fc.record({ top: edge, right: edge, bottom: edge, left: edge }),
        border: fc.integer({ min: 0, max: 1 }),
        rolls: fc
          .record({ width: between(roll), longest: between([roll[1], 3 * roll[1]]) })
          .map(({ width: w, longest }) => [{ name: 'roll', width: w, sideMargin: 0.5, longest }]),
        laps: fc
          .record({ under: fc.integer({ min: 0, max: 2 }), over: fc.integer({ min: 0, max: 2 }) })
          .map((lap) => [{ name: 'lap', ...lap }]),
        gapAllowance: fc.integer({ min: 0, max: 2 }),
        minPanel: fc.integer({ min: 3, max: 6 }),
        card: fc
          .tuple(randomCard, fc.integer({ min: 5, max: 14 }), fc.integer({ min: 0, max: 6 }))
          .map(([card, two, more]) => ({
            ...card,
            twoPeopleFromMeters: two / 1000,
            threePeopleFromMeters: (two + more) / 1000,
          })),
        energy: picture,
        isLocked: fc.nat({ max: 3 }),
        rivetClearance: fc.constantFrom(0, 0.5, 1.5),
        longestPanel: fc.integer({ min: Math.ceil(size.width / 2), max: 2 * size.width }),
        spaces: fc.array(
          fc.record({
            axis: fc.constantFrom('vertical' as const, 'horizontal' as const),
            at: fc.integer({ min: 1, max: Math.min(size.width, size.height) - 1 }),
          }),
          { maxLength: 1 },
        ),
      })
      .map(({ isLocked, spaces, ...rest }): PlanSide => {
        const [first] = rest.lines;
        const across = first?.axis === 'vertical' ? size.height : size.width;
        const locked =
          isLocked === 0 && first && first.at < 1000
            ? [{ axis: first.axis, at: first.at, from: 0, to: across }]
            : [];
        const free = spaces.filter(
          (space) => !rest.lines.some((line) => line.axis === space.axis && line.at === space.at),
        );
        return { ...size, ...rest, shapedLines: [], spaces: free, isLaminated: true, locked };
      });
  });
}

export const onlyStock = (side: PlanSide): PlanStock => ({ roll: side.rolls[0]!, lap: side.laps[0]! });

/** A side of a few hundred millimeters, higher than its film is wide: what leastSequenceByMip is for. */
export const mediumSide: fc.Arbitrary<PlanSide> = fc
  .record({
    width: fc.integer({ min: 130, max: 420 }),
    roll: fc.integer({ min: 48, max: 110 }),
    under: fc.integer({ min: 0, max: 4 }),
    over: fc.integer({ min: 0, max: 3 }),
    minPanel: fc.integer({ min: 5, max: 17 }),
    card: randomCard,
    busy: fc.array(fc.float({ min: 0, max: 1, noNaN: true }), { minLength: 97, maxLength: 97 }),
    places: fc.array(fc.tuple(fc.constantFrom(...LineKind.options), fc.integer({ min: 1, max: 129 })), {
      maxLength: 5,
    }),
    blocks: fc.array(fc.tuple(fc.integer({ min: 0, max: 380 }), fc.integer({ min: 1, max: 83 })), {
      maxLength: 4,
    }),
  })
  .map(({ width, roll, under, over, minPanel, card, busy, places, blocks }) => {
    const height = 163;
    const cell = 4;
    const [columns, rows] = [Math.ceil(width / cell), Math.ceil(height / cell)];
    const cells = Float32Array.from({ length: columns * rows }, (_, i) => busy[(i * 13) % busy.length]!);
    return {
      width,
      height,
      front: 'left' as const,
      lines: places
        .filter(([kind]) => kind !== 'body-gap')
        .map(([kind, at], i) => ({
          id: `l${i}`,
          kind,
          axis: 'vertical' as const,
          at,
          from: 0,
          to: height - 31 * (i % 2),
          width: 1,
        })),
      shapedLines: [],
      noSeamAreas: blocks.map(([x, w], i) => ({ id: `k${i}`, rect: { x, y: 11, width: w, height: 43 } })),
      lettering: blocks.map(([x, w], i) => ({
        id: `t${i}`,
        rect: { x: x + 40, y: 71, width: w, height: 29 },
        words: [{ x: x + 40, y: 71, width: w, height: 29 }],
        strokes: [],
        capHeightMm: 130 + 90 * i,
        isSure: true,
      })),
      ground: [],
      noFilmAreas: [],
      bleed: { top: 9, right: 11, bottom: 8, left: 10 },
      border: 2,
      rolls: [{ name: 'roll', width: roll + 1, sideMargin: 0.5, longest: 1000 }],
      laps: [{ name: 'lap', under, over }],
      gapAllowance: 2,
      rivetClearance: 3,
      spaces: [],
      isLaminated: true,
      minPanel,
      card,
      locked: [],
      energy: pictureEnergyFromBusy(cells, columns, rows, cell),
    };
  });
