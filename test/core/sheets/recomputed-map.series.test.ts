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
import { NO_FILM_ACTS } from '../../../core/job/no-film-acts.ts';
import type { Job, Side } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { installMap } from '../../../core/sheets/install-map.ts';
import { sheetsPdf } from '../../../core/sheets/sheets-pdf.ts';
import { seriesRuns } from '../../support/series.ts';
import { describeWithTools, runTool } from '../../support/tools.ts';
import { testFonts } from './fixture.ts';
import { type Box, panelsOfJob, read, size } from './recomputed-jobs.ts';
import {
  EDGES,
  type Edge,
  ends,
  mapJob,
  type OwnSeam,
  ownSeams,
  seamAt,
  sideSize,
  tapeOf,
  tapeRows,
} from './recomputed-seams.ts';

const fonts = testFonts();
const folder = mkdtempSync(join(tmpdir(), 'panelwright-map-'));
afterAll(() => rmSync(folder, { recursive: true }));

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

/** What wraps around the outline and into the gaps, as the heat plan has it. */
function tuckRows(job: Job, side: Side, seams: readonly OwnSeam[]): string[] {
  const unit = job.displayUnit;
  const byFigure = Map.groupBy(EDGES, (edge) => side.bleed[edge]);
  const outer = [...byFigure].map(([mm, edges]) => {
    const names = edges.map((edge) => ends(side, edge)).join(', ');
    return mm > 0
      ? `QS ${names} edge ${read(mm, unit)} post-heat`
      : `QS ${names} edge ends on the outline press down`;
  });
  const gaps = seams
    .filter(({ joint }) => joint.kind === 'gap')
    .map((seam) => {
      const { firstMm, secondMm } = seam.joint;
      const [before, after] = seam.isVertical ? ['left', 'right'] : ['upper', 'lower'];
      const wraps = `${before} ${read(firstMm, unit)}, ${after} ${read(secondMm, unit)}`;
      return `QS ${seam.key}, gap at ${tapeOf(job, side, seam).near} ${wraps} post-heat`;
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
  it('gives the tape, overlap, size, bleed and no-film figures that follow from the job', async () => {
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
