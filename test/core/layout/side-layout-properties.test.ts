import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { regionPanels } from '../../../core/job/region.ts';
import type { Side } from '../../../core/job/schema.ts';
import type { Panel } from '../../../core/layout/panel.ts';
import { type SideLayout, sideLayout } from '../../../core/layout/side-layout.ts';
import {
  EDGES,
  rectArea,
  rectBottom,
  rectIntersection,
  rectRight,
  rectsUnionArea,
} from '../../../core/measure/rect.ts';
import { jobSample, lap, panel, sideSample, split } from '../job/sample-job.ts';
import { sidesArbitrary } from './arbitrary-layout.ts';

const layoutOf = (side: Side): SideLayout => sideLayout(jobSample({ sides: [side] }), side);
const byId = (layout: SideLayout) => new Map(layout.panels.map((p) => [p.id, p]));

describe('for any layout tree', () => {
  it('net rectangles cover the side once: no gap, no overlap', () => {
    fc.assert(
      fc.property(sidesArbitrary, (side) => {
        const { panels, outline } = layoutOf(side);
        const nets = panels.map(({ net }) => net);
        expect(panels).toHaveLength(regionPanels(side.layout).length);
        expect(rectsUnionArea(nets) / rectArea(outline)).toBeCloseTo(1, 9);
        expect(nets.reduce((sum, net) => sum + rectArea(net), 0) / rectArea(outline)).toBeCloseTo(1, 9);
        for (const [n, net] of nets.entries()) {
          for (const other of nets.slice(n + 1)) expect(rectIntersection(net, other)).toBeUndefined();
        }
      }),
      { numRuns: 150 },
    );
  });

  it('neighbors print the same band of artwork: from secondMm before the seam to firstMm after it', () => {
    fc.assert(
      fc.property(sidesArbitrary, (side) => {
        const layout = layoutOf(side);
        const panels = byId(layout);
        for (const seam of layout.seams.filter(({ joint }) => joint === 'lap')) {
          for (const firstId of seam.firstPanelIds) {
            const edge = seam.direction === 'vertical' ? 'right' : 'bottom';
            const at = panels.get(firstId)!.edges[edge];
            if (at.kind !== 'seam') throw new Error('no seam on the edge of a panel beside it');
            expect(at.seamId).toBe(seam.id);
            for (const { panelId, along } of at.neighbors) {
              const band = rectIntersection(panels.get(firstId)!.printed, panels.get(panelId)!.printed);
              if (seam.overlapMm === 0) continue;
              const [from, to, start, end] =
                seam.direction === 'vertical'
                  ? [band!.x, rectRight(band!), band!.y, rectBottom(band!)]
                  : [band!.y, rectBottom(band!), band!.x, rectRight(band!)];
              expect(from).toBeCloseTo(seam.at - seam.secondMm, 6);
              expect(to).toBeCloseTo(seam.at + seam.firstMm, 6);
              expect(start).toBeLessThanOrEqual(along.start + 1e-6);
              expect(end).toBeGreaterThanOrEqual(along.end - 1e-6);
            }
          }
        }
      }),
      { numRuns: 150 },
    );
  });

  it('neighbors agree about each other: over meets under, along the same stretch', () => {
    const opposite = {
      over: 'under',
      under: 'over',
      'edge-to-edge': 'edge-to-edge',
      apart: 'apart',
    } as const;
    const facing = { top: 'bottom', bottom: 'top', left: 'right', right: 'left' } as const;
    fc.assert(
      fc.property(sidesArbitrary, (side) => {
        const panels = byId(layoutOf(side));
        for (const one of panels.values()) {
          for (const edge of EDGES) {
            const mine = one.edges[edge];
            if (mine.kind === 'outer') continue;
            for (const { panelId, along } of mine.neighbors) {
              const theirs = panels.get(panelId)!.edges[facing[edge]];
              if (theirs.kind === 'outer') throw new Error('a neighbor does not know of the seam');
              expect(theirs.lies).toBe(opposite[mine.lies]);
              expect(theirs.neighbors.find((n) => n.panelId === one.id)?.along).toEqual(along);
            }
          }
        }
      }),
      { numRuns: 150 },
    );
  });

  it('the install order names every panel once, and lays under before over', () => {
    fc.assert(
      fc.property(sidesArbitrary, (side) => {
        const layout = layoutOf(side);
        const panels = byId(layout);
        expect(layout.panels.map(({ order }) => order)).toEqual(layout.panels.map((_, index) => index + 1));
        expect(new Set(layout.panels.map(({ id }) => id))).toEqual(
          new Set(regionPanels(side.layout).map(({ id }) => id)),
        );
        expect(new Set(layout.panels.map(({ label }) => label)).size).toBe(layout.panels.length);
        for (const one of panels.values()) {
          for (const edge of EDGES) {
            const at = one.edges[edge];
            if (at.kind === 'outer' || at.lies !== 'over' || at.overlapMm === 0) continue;
            for (const { panelId } of at.neighbors)
              expect(panels.get(panelId)!.order).toBeLessThan(one.order);
          }
        }
      }),
      { numRuns: 200 },
    );
  });

  it('ORD2 of the panels that could come next, the rearmost comes, and of these the lowest', () => {
    const rearness = (p: Panel, front: Side['front']) => (front === 'left' ? rectRight(p.net) : -p.net.x);
    fc.assert(
      fc.property(sidesArbitrary, (side) => {
        const layout = layoutOf(side);
        const laid = new Set<string>();
        const isFree = (p: Panel) =>
          EDGES.every((edge) => {
            const at = p.edges[edge];
            if (at.kind === 'outer' || at.lies !== 'over' || at.overlapMm === 0) return true;
            return at.neighbors.every(({ panelId }) => laid.has(panelId));
          });
        for (const [n, next] of layout.panels.entries()) {
          for (const other of layout.panels.slice(n + 1).filter(isFree)) {
            const ahead = rearness(other, side.front) - rearness(next, side.front);
            // Corners of panels may also lie on each other across a crossing of seams; they wait, too.
            const waitsForCorner = layout.panels
              .slice(n)
              .some(
                (p) => p !== other && rectIntersection(p.printed, other.printed) && !isNeighbor(other, p.id),
              );
            if (waitsForCorner) continue;
            expect(ahead).toBeLessThanOrEqual(1e-6);
            if (Math.abs(ahead) <= 1e-6)
              expect(rectBottom(other.net)).toBeLessThanOrEqual(rectBottom(next.net) + 1e-6);
          }
          laid.add(next.id);
        }
      }),
      { numRuns: 150 },
    );
  });
});

const isNeighbor = (p: Panel, id: string): boolean =>
  EDGES.some((edge) => {
    const at = p.edges[edge];
    return at.kind === 'seam' && at.neighbors.some(({ panelId }) => panelId === id);
  });

describe('widths of a run', () => {
  const straight = (p: Panel) => p.printed.width;

  it('printed widths less the overlaps are the design width (recomputed, any number of panels)', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 2, max: 14 }),
        fc.integer({ min: 0, max: 40 }),
        fc.integer({ min: 0, max: 40 }),
        (n, firstMm, secondMm) => {
          const joints = Array.from({ length: n - 1 }, (_, index) =>
            lap(`j${index}`, (6130 * (index + 1)) / n, { firstMm, secondMm }),
          );
          const layout = split(
            'vertical',
            joints,
            Array.from({ length: n }, (_, index) => panel(`p${index}`)),
          );
          const { panels } = layoutOf(
            sideSample({ layout, bleed: { top: 0, right: 0, bottom: 0, left: 0 } }),
          );
          const sum = panels.reduce((total, p) => total + straight(p), 0);
          expect(sum - (n - 1) * (firstMm + secondMm)).toBeCloseTo(6130, 6);
        },
      ),
    );
  });

  it.each([
    [1504, 25, 11],
    [1352, 12.7, 13],
  ])(
    'PN8 drops of %s mm with an overlap of %s mm cover a 53 ft trailer in %s panels, not in one less (recomputed)',
    (widest, overlap, count) => {
      // 53 ft = 16,154.4 mm. Every drop as wide as the film allows, the seam in the middle of the overlap.
      const length = 16_154.4;
      const reach = (n: number) => n * widest - (n - 1) * overlap;
      expect(reach(count)).toBeGreaterThanOrEqual(length);
      expect(reach(count - 1)).toBeLessThan(length);
      const joints = Array.from({ length: count - 1 }, (_, index) =>
        lap(`j${index}`, (index + 1) * (widest - overlap) + overlap / 2, {
          firstMm: overlap / 2,
          secondMm: overlap / 2,
        }),
      );
      const side = sideSample({
        artworkRect: { xMm: 31, yMm: 17, widthMm: 1615.44, heightMm: 270 },
        bleed: { top: 0, right: 0, bottom: 0, left: 0 },
        layout: split(
          'vertical',
          joints,
          Array.from({ length: count }, (_, index) => panel(`p${index}`)),
        ),
      });
      const widths = layoutOf(side).panels.map(straight);
      expect(Math.max(...widths)).toBeCloseTo(widest, 6);
      expect(widths.every((width) => width <= widest + 1e-6)).toBe(true);
    },
  );
});
