/** Seams of a random job from the job file alone, and where a tape finds them. */
import fc from 'fast-check';
import type { Job, Joint, NoFilmArea, Side } from '../../../core/job/schema.ts';
import { type Box, type Own, randomJob, read } from './recomputed-jobs.ts';

export type Edge = keyof Box;
export const EDGES: readonly Edge[] = ['top', 'right', 'bottom', 'left'];

const places = fc.record({
  areas: fc.array(
    fc.record({
      kind: fc.constantFrom('handle', 'lamp', 'sensor', 'license-plate', 'other'),
      // Shares of what is free; 0 and 1 lie on the outline.
      x: fc.constantFrom(0, 0.13, 0.41, 0.77, 1),
      y: fc.constantFrom(0, 0.22, 0.58, 1),
      width: fc.integer({ min: 40, max: 150 }),
      height: fc.integer({ min: 30, max: 120 }),
      clearance: fc.integer({ min: 0, max: 30 }),
    }),
    { maxLength: 3 },
  ),
  lines: fc.array(
    fc.record({
      direction: fc.constantFrom('horizontal', 'vertical'),
      share: fc.constantFrom(0.1, 0.25, 0.37, 0.5, 0.69, 0.83),
    }),
    { maxLength: 3 },
  ),
  hasCards: fc.boolean(),
});

export const mapJob = fc.tuple(randomJob, places).map(([{ job, paper }, { areas, lines, hasCards }]) => {
  const side = job.sides[0]!;
  const [width, height] = sideSize(job, side);
  const noFilmAreas = areas.map(
    (area, index): NoFilmArea => ({
      id: `area-${index}`,
      name: `Part ${'ABC'[index]}`,
      kind: area.kind,
      rect: {
        xMm: Math.round((width - area.width) * area.x),
        yMm: Math.round((height - area.height) * area.y),
        widthMm: area.width,
        heightMm: area.height,
      },
      clearanceMm: area.clearance,
    }),
  );
  const bodyLines = lines.map(({ direction, share }, index) => ({
    id: `line-${index}`,
    name: `Rail ${'ABC'[index]}`,
    kind: 'crease' as const,
    direction,
    atMm: Math.round((direction === 'vertical' ? width : height) * share),
  }));
  return {
    job: {
      ...job,
      sides: [{ ...side, noFilmAreas, bodyLines }],
      sheets: { panelCards: hasCards ? 'always' : 'never' },
    } satisfies Job,
    paper,
    hasCards,
  };
});

export const sideSize = (job: Job, { artworkRect }: Side): [number, number] => [
  Math.round(artworkRect.widthMm * job.scale),
  Math.round(artworkRect.heightMm * job.scale),
];

export interface OwnSeam {
  readonly key: string;
  readonly isVertical: boolean;
  readonly joint: Joint;
  readonly from: number;
  readonly to: number;
}

/** Upright seams from left to right, then level ones from the bottom up. */
export function ownSeams(job: Job, side: Side): OwnSeam[] {
  const [width, height] = sideSize(job, side);
  const found: Omit<OwnSeam, 'key'>[] = [];
  const walk = (region: Side['layout'], area: Box): void => {
    if (region.kind === 'panel') return;
    const isVertical = region.seams === 'vertical';
    region.parts.forEach((part, index) => {
      const [before, joint] = [region.joints[index - 1], region.joints[index]];
      if (joint) {
        const [from, to] = isVertical ? [area.top, area.bottom] : [area.left, area.right];
        found.push({ isVertical, joint, from, to });
      }
      const [near, far] = isVertical ? (['left', 'right'] as const) : (['top', 'bottom'] as const);
      walk(part, { ...area, ...(before && { [near]: before.atMm }), ...(joint && { [far]: joint.atMm }) });
    });
  };
  walk(side.layout, { left: 0, top: 0, right: width, bottom: height });
  const order = (a: Omit<OwnSeam, 'key'>, b: Omit<OwnSeam, 'key'>) =>
    a.isVertical !== b.isVertical
      ? Number(b.isVertical) - Number(a.isVertical)
      : (a.isVertical ? a.joint.atMm - b.joint.atMm : b.joint.atMm - a.joint.atMm) || a.from - b.from;
  return found.toSorted(order).map((seam, index) => ({ ...seam, key: `S${index + 1}` }));
}

/** Whether 30 mm of an edge are free of no-film areas beside a seam: millimeter by millimeter. */
export function hasHook(job: Job, side: Side, { from, to }: OwnSeam, edge: Edge): boolean {
  const [width, height] = sideSize(job, side);
  let run = 0;
  for (let mm = from; mm < to; mm += 1) {
    const isTaken = side.noFilmAreas.some(({ rect: { xMm, yMm, widthMm, heightMm } }) => {
      const isUpright = edge === 'left' || edge === 'right';
      const [start, long] = isUpright ? [yMm, heightMm] : [xMm, widthMm];
      const reaches = {
        left: xMm === 0,
        top: yMm === 0,
        right: xMm + widthMm === width,
        bottom: yMm + heightMm === height,
      }[edge];
      return reaches && mm >= start && mm < start + long;
    });
    run = isTaken ? 0 : run + 1;
    if (run >= Math.min(30, to - from)) return true;
  }
  return false;
}

export function ends(side: Side, edge: Edge): string {
  if (side.front === 'none' || edge === 'top' || edge === 'bottom') return edge;
  return side.front === edge ? 'front' : 'rear';
}

export interface Tape {
  readonly near: string;
  readonly far: string | undefined;
  /** Both as the table has them: `320 from rear`. */
  readonly table: readonly (string | undefined)[];
  readonly line: ((by: 'key' | 'name') => string) | undefined;
}

export function tapeOf(job: Job, side: Side, seam: OwnSeam): Tape {
  const unit = job.displayUnit;
  const [width, height] = sideSize(job, side);
  const at = seam.joint.atMm;
  const both: readonly (readonly [Edge, number])[] = seam.isVertical
    ? [
        ['left', at],
        ['right', width - at],
      ]
    : [
        ['top', at],
        ['bottom', height - at],
      ];
  const sorted = both.toSorted((a, b) => a[1] - b[1]);
  const there = sorted.filter(([edge]) => hasHook(job, side, seam, edge));
  const words = ([edge, mm]: readonly [Edge, number]) =>
    `${read(mm, unit)} from the ${ends(side, edge)} edge`;
  const lines = side.bodyLines
    .map((line, index) => ({ line, key: `L${index + 1}`, off: at - line.atMm }))
    .filter(({ line }) => (line.direction === 'vertical') === seam.isVertical)
    .toSorted((a, b) => Math.abs(a.off) - Math.abs(b.off));
  const nearest = lines[0];
  const far = there[1];
  return {
    near: words(there[0] ?? sorted[0]!),
    far: far && words(far),
    table: [there[0] ?? sorted[0]!, far].map(
      (datum) => datum && `${read(datum[1], unit)} from ${ends(side, datum[0])}`,
    ),
    line:
      nearest &&
      ((by) => {
        const name = by === 'key' ? nearest.key : `${nearest.line.name} (${nearest.key})`;
        if (nearest.off === 0) return `on ${name}`;
        const way = seam.isVertical ? ['left of', 'right of'] : ['above', 'below'];
        return `${read(Math.abs(nearest.off), unit)} ${way[nearest.off < 0 ? 0 : 1]} ${name}`;
      }),
  };
}

/** What is taped before anybody peels: at most three figures beside width and height, the most telling first. */
export function tapeRows(job: Job, side: Side, seams: readonly OwnSeam[]): string[] {
  const unit = job.displayUnit;
  const [width, height] = sideSize(job, side);
  const across = (isVertical: boolean) => ({ isVertical, from: 0, to: isVertical ? height : width });
  const isOn = ({ isVertical, joint }: OwnSeam, { direction, atMm }: Side['bodyLines'][number]) =>
    isVertical === (direction === 'vertical') && joint.atMm === atMm;
  const upper = (text: string) => text.charAt(0).toUpperCase() + text.slice(1);
  const row = (near: string, name: string, tolerance: number) => {
    const [, figure, edge] = /^(.*) from the (\w+) edge$/.exec(near)!;
    return `QS ${upper(edge!)} edge to ${name} ${figure} ____________ ${read(tolerance, unit)}`;
  };
  const lines = side.bodyLines.map((line) => {
    const span = across(line.direction === 'vertical');
    const { near } = tapeOf(job, side, { ...span, key: '', joint: { atMm: line.atMm } as Joint });
    const rank = seams.some((seam) => isOn(seam, line)) ? 2 : 4;
    return { rank, at: line.atMm, text: row(near, line.name, 12) };
  });
  const gaps = seams
    .filter((seam) => seam.joint.kind === 'gap' && !side.bodyLines.some((line) => isOn(seam, line)))
    .map((seam) => ({
      rank: 1,
      at: seam.joint.atMm,
      text: row(tapeOf(job, side, seam).near, 'body gap', 3),
    }));
  const areas = side.noFilmAreas
    .toSorted((a, b) => b.rect.widthMm * b.rect.heightMm - a.rect.widthMm * a.rect.heightMm)
    .flatMap(({ name, rect: { xMm, widthMm } }) => {
      const right = width - xMm - widthMm;
      const [mm, edge] = xMm <= right ? ([xMm, 'left'] as const) : ([right, 'right'] as const);
      return mm > 0 ? [row(`${read(mm, unit)} from the ${ends(side, edge)} edge`, name, 12)] : [];
    });
  const inner = [
    ...[...lines, ...gaps].toSorted((a, b) => a.rank - b.rank || a.at - b.at).map(({ text }) => text),
    ...areas,
  ].slice(0, 3);
  const [left, right] = [ends(side, 'left'), ends(side, 'right')];
  const blank = `____________ ${read(12, unit)}`;
  return [
    `QS Width, ${left} edge to ${right} edge ${read(width, unit)} ${blank}`,
    `QS Height, top edge to bottom edge ${read(height, unit)} ${blank}`,
    ...(inner.length > 0
      ? inner
      : [
          `QS Diagonal, top at the ${left} to bottom at the ${right} ${read(Math.hypot(width, height), unit)} ${blank}`,
        ]),
  ];
}

/** The seam on an edge of a panel; none on the outline. */
export const seamAt = (seams: readonly OwnSeam[], { net }: Own, edge: Edge): OwnSeam | undefined => {
  const isUpright = edge === 'left' || edge === 'right';
  const middle = isUpright ? (net.top + net.bottom) / 2 : (net.left + net.right) / 2;
  return seams.find(
    ({ isVertical, joint, from, to }) =>
      isVertical === isUpright && joint.atMm === net[edge] && from < middle && middle < to,
  );
};
