/**
 * Seam, overlap, size, bleed and no-film figures of the install map, worked out again from the job file by code of this
 * file alone and looked for in the text of the PDF as poppler reads it, for random jobs in both unit systems on all papers.
 */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { deflateSync } from 'node:zlib';
import fc from 'fast-check';
import { afterAll, expect, it } from 'vitest';
import type { Job, Joint, NoFilmArea, Side } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { NO_FILM_ACTS } from '../../../core/sheets/cautions.ts';
import { installMap } from '../../../core/sheets/install-map.ts';
import { sheetsPdf } from '../../../core/sheets/sheets-pdf.ts';
import { seriesRuns } from '../../support/series.ts';
import { describeWithTools, runTool } from '../../support/tools.ts';
import { testFonts } from './fixture.ts';
import { type Box, type Own, panelsOfJob, randomJob, read, size } from './recomputed-jobs.ts';

const fonts = testFonts();
const folder = mkdtempSync(join(tmpdir(), 'panelwright-map-'));
afterAll(() => rmSync(folder, { recursive: true }));

type Edge = keyof Box;
const EDGES: readonly Edge[] = ['top', 'right', 'bottom', 'left'];

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

const mapJob = fc.tuple(randomJob, places).map(([{ job, paper }, { areas, lines, hasCards }]) => {
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

const sideSize = (job: Job, { artworkRect }: Side): [number, number] => [
  Math.round(artworkRect.widthMm * job.scale),
  Math.round(artworkRect.heightMm * job.scale),
];

interface OwnSeam {
  readonly key: string;
  readonly isVertical: boolean;
  readonly joint: Joint;
  readonly from: number;
  readonly to: number;
}

/** Upright seams from left to right, then level ones from the bottom up. */
function ownSeams(job: Job, side: Side): OwnSeam[] {
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
function hasHook(job: Job, side: Side, { from, to }: OwnSeam, edge: Edge): boolean {
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

function ends(side: Side, edge: Edge): string {
  if (side.front === 'none' || edge === 'top' || edge === 'bottom') return edge;
  return side.front === edge ? 'front' : 'rear';
}

interface Tape {
  readonly near: string;
  readonly far: string | undefined;
  /** Both as the table has them: `320 from rear`. */
  readonly table: readonly (string | undefined)[];
  readonly line: ((by: 'key' | 'name') => string) | undefined;
}

function tapeOf(job: Job, side: Side, seam: OwnSeam): Tape {
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

function overlapOf(job: Job, { joint, isVertical }: OwnSeam): string {
  if (joint.kind === 'butt') return 'butt seam not at all';
  if (joint.kind === 'gap') return 'body-gap seam not at all';
  const unit = job.displayUnit;
  const [trimmed, stays] =
    joint.top === 'first' ? [joint.firstMm, joint.secondMm] : [joint.secondMm, joint.firstMm];
  // The panel on top hides more of the one below where its edge moves onto it, down to the least overlap.
  const kept = Math.max(0, stays - job.limits.minOverlapMm);
  const [before, after] = joint.top === 'first' ? [kept, trimmed] : [trimmed, kept];
  const ways = isVertical ? ['left', 'right'] : ['up', 'down'];
  const moves = [before, after].flatMap((mm, i) => (mm >= 1 ? [`${read(mm, unit)} ${ways[i]}`] : []));
  const three = [trimmed + stays, trimmed, stays].map((mm) => read(mm, unit)).join(' / ');
  return `${three} ${moves.join(', ') || 'not at all'}`;
}

/** What is taped before anybody peels: at most three figures beside width and height, the most telling first. */
function tapeRows(job: Job, side: Side, seams: readonly OwnSeam[]): string[] {
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

/** What wraps around the outline and into the gaps, as the heat plan has it. */
function tuckRows(job: Job, side: Side, seams: readonly OwnSeam[]): string[] {
  const unit = job.displayUnit;
  const byFigure = Map.groupBy(EDGES, (edge) => side.bleed[edge]);
  const outer = [...byFigure].map(([mm, edges]) => {
    const names = edges.map((edge) => ends(side, edge)).join(', ');
    return mm > 0
      ? `QS ${names} edge ${read(mm, unit)} post-heat what you tuck`
      : `QS ${names} edge ends on the outline press it down, no tuck`;
  });
  const gaps = seams
    .filter(({ joint }) => joint.kind === 'gap')
    .map((seam) => {
      const { firstMm, secondMm } = seam.joint;
      const [before, after] = seam.isVertical ? ['left', 'right'] : ['upper', 'lower'];
      const wraps = `${before} ${read(firstMm, unit)}, ${after} ${read(secondMm, unit)}`;
      return `QS ${seam.key}, gap at ${tapeOf(job, side, seam).near} ${wraps} wrap, post-heat in the gap`;
    });
  return [...outer, ...gaps];
}

/** What a card says to do with an edge; the figure may be left out where the card has no room for it. */
function actPattern(job: Job, side: Side, seam: OwnSeam | undefined, edge: Edge): string {
  const unit = job.displayUnit;
  if (!seam) return side.bleed[edge] > 0 ? `TUCK( ${read(side.bleed[edge], unit)})?` : 'ENDS HERE';
  const { kind, top, firstMm, secondMm } = seam.joint;
  const isFirst = edge === 'right' || edge === 'bottom';
  if (kind === 'gap') return `WRAP( ${read(isFirst ? firstMm : secondMm, unit)})?`;
  if (kind === 'butt') return '(TRIM|ENDS HERE)';
  return (top === 'first') === isFirst ? 'TRIM' : 'COVERED';
}

/** The tape figure of each edge that the crew sets, in the order of the card. */
const cardFigures = (job: Job, side: Side, edges: readonly { edge: Edge; seam: OwnSeam }[]): string[] =>
  edges.flatMap(({ edge, seam }) => {
    const { kind, top } = seam.joint;
    const isFirst = edge === 'right' || edge === 'bottom';
    if (kind === 'gap' || (kind === 'lap' && (top === 'first') !== isFirst)) return [];
    const [, figure, from] = /^(.*) from the (\w+) edge$/.exec(tapeOf(job, side, seam).near)!;
    return [`${edge}( edge,)? from ${from} ${figure}`];
  });

const list = (names: readonly string[]) =>
  names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`;

/** What the steps say of one edge of a panel; what is no figure is left open. */
function stepOf(job: Job, side: Side, seam: OwnSeam, edge: Edge): string {
  const unit = job.displayUnit;
  const { kind, top, firstMm, secondMm } = seam.joint;
  const isFirst = edge === 'right' || edge === 'bottom';
  const [own, other] = isFirst ? [firstMm, secondMm] : [secondMm, firstMm];
  const { near, far, line } = tapeOf(job, side, seam);
  const set = `Set the ${edge} edge on ${seam.key}: ${near}${line ? `, ${line('name')}` : ''}.${far ? ` Check ${far}.` : ''}`;
  if (kind === 'gap') return `Wrap ${read(own, unit)} of the ${edge} edge into the gap at ${seam.key}.`;
  if (kind === 'butt') return set;
  if ((top === 'first') === isFirst) {
    return `${set} Trim the ${edge} edge on ${seam.key}, over cutting tape. ${other === 0 ? 'Nothing' : read(other, unit)} stays covered.`;
  }
  return own > 0
    ? `Leave ${read(own, unit)} past ${seam.key} at the ${edge}: `
    : `End the ${edge} edge on ${seam.key}: `;
}

/** The seam on an edge of a panel; none on the outline. */
const seamAt = (seams: readonly OwnSeam[], { net }: Own, edge: Edge): OwnSeam | undefined => {
  const isUpright = edge === 'left' || edge === 'right';
  const middle = isUpright ? (net.top + net.bottom) / 2 : (net.left + net.right) / 2;
  return seams.find(
    ({ isVertical, joint, from, to }) =>
      isVertical === isUpright && joint.atMm === net[edge] && from < middle && middle < to,
  );
};

function bleedOf(job: Job, side: Side, edges: readonly Edge[]): string {
  const byFigure = Map.groupBy(edges, (edge) => side.bleed[edge]);
  const some = [...byFigure].filter(([mm]) => mm > 0);
  const none = byFigure.get(0) ?? [];
  const words = some.map(([mm, same]) => `${read(mm, job.displayUnit)} at the ${list(same)}`);
  return [
    ...(words.length > 0 ? [`Bleed: ${words.join(', ')}.`] : []),
    ...(none.length > 0 ? [`No bleed at the ${list(none)}: the film ends on the outline.`] : []),
  ].join(' ');
}

describeWithTools(['pdftotext'], 'the install map worked out again', () => {
  let count = 0;
  it('SH24 gives the tape, overlap, size, bleed and no-film figures that follow from the job', async () => {
    await fc.assert(
      fc.asyncProperty(mapJob, async ({ job, paper, hasCards }) => {
        const unit = job.displayUnit;
        const side = job.sides[0]!;
        const [width, height] = sideSize(job, side);
        const layouts = jobLayout(job);
        const sheets = installMap(job, layouts, { fonts, sheet: paper });
        count += 1;
        const file = join(folder, `${count}.pdf`);
        const facts = { documentType: 'Install map', sha256: '3d'.repeat(32) };
        writeFileSync(file, await sheetsPdf(job, sheets, facts, fonts, deflateSync));
        // In the order of drawing, so that the lines of a cell and the cells of a row follow each other.
        const text = ` ${runTool('pdftotext', ['-raw', file, '-']).toString('utf8').replaceAll(/\s+/g, ' ')} `;
        const expectSaid = (words: string) => expect(text).toContain(` ${words} `);

        const own = panelsOfJob(job);
        const panels = layouts.flatMap((layout) => layout.panels);
        const seams = ownSeams(job, side);
        expectSaid(
          `Count the panels before you begin: ${own.length} ${own.length === 1 ? 'is' : 'are'} to be here.`,
        );
        expectSaid(`· 1 side · ${own.length === 1 ? '1 panel' : `${own.length} panels`}`);
        for (const row of tapeRows(job, side, seams)) expectSaid(row);
        for (const row of tuckRows(job, side, seams)) expectSaid(row);
        for (const seam of seams) {
          const { table, line } = tapeOf(job, side, seam);
          const [near, far] = table;
          const checks = [far, line?.('key')].filter(Boolean).join('; ');
          expectSaid([near, checks, overlapOf(job, seam)].filter(Boolean).join(' '));
        }
        for (const [index, { name, kind, rect, clearanceMm }] of side.noFilmAreas.entries()) {
          const { act, detail } = NO_FILM_ACTS[kind];
          const fromRight = width - rect.xMm - rect.widthMm;
          const edge: Edge = rect.xMm <= fromRight ? 'left' : 'right';
          const along = `${read(Math.min(rect.xMm, fromRight), unit)} ${ends(side, edge)}`;
          const up = read(height - rect.yMm - rect.heightMm, unit);
          const area = `${read(rect.widthMm, unit)} × ${read(rect.heightMm, unit)}`;
          expectSaid(`X${index + 1} ${name} ${act} ${along} ${up} ${area} ${read(clearanceMm, unit)}`);
          expect(text).toMatch(
            new RegExp(
              ` ${act} (QS X\\d Part [ABC] [^A-Z]+ up )*QS X${index + 1} ${name} ${along}, ${up} up `,
            ),
          );
          if (detail) expect(text).toMatch(new RegExp(`X${index + 1}(, X\\d)* ${detail} `));
        }
        for (const panel of own) {
          const { label, order } = panels.find(({ id }) => id === panel.id)!;
          const past = (edge: Edge) => {
            const joint = seamAt(seams, panel, edge)?.joint;
            if (!joint) return side.bleed[edge];
            return edge === 'right' || edge === 'bottom' ? joint.firstMm : joint.secondMm;
          };
          const printed: Box = {
            left: panel.net.left - past('left'),
            top: panel.net.top - past('top'),
            right: panel.net.right + past('right'),
            bottom: panel.net.bottom + past('bottom'),
          };
          const sizes = [panel.net, printed, panel.film].map((box) => size(box, unit)).join(' ');
          expectSaid(`${order} ${label} ${sizes}`);
          if (hasCards) {
            const onEdge = (edge: Edge) => seamAt(seams, panel, edge);
            const acts = (['top', 'bottom', 'left', 'right'] as const).map((edge) =>
              actPattern(job, side, onEdge(edge), edge),
            );
            const set = EDGES.flatMap((edge) => {
              const seam = onEdge(edge);
              return seam ? [{ edge, seam }] : [];
            });
            const figures = cardFigures(job, side, set);
            const card = [...acts, ...(figures.length > 0 ? figures : ['Set it by the outline'])].join(' ');
            expect(text).toMatch(
              new RegExp(` ${label} install ${order} of ${own.length} [^A-Z]*${card} Name Time `),
            );
            continue;
          }
          const onSeams = EDGES.filter((edge) => seamAt(seams, panel, edge));
          for (const edge of onSeams) {
            const step = stepOf(job, side, seamAt(seams, panel, edge)!, edge);
            expect(text).toContain(` ${step}`);
          }
          const outer = EDGES.filter((edge) => !onSeams.includes(edge));
          if (outer.length > 0) expectSaid(bleedOf(job, side, outer));
        }
      }),
      seriesRuns(3, 200),
    );
  }, 1_800_000);
});
