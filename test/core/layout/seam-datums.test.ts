import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { BodyLine, Side } from '../../../core/job/schema.ts';
import { edgeDescription } from '../../../core/layout/edge-description.ts';
import { edgeName, seamDatums } from '../../../core/layout/seam-datums.ts';
import { shopTrims } from '../../../core/layout/shop-trims.ts';
import { type SideLayout, sideLayout } from '../../../core/layout/side-layout.ts';
import { sideTotals } from '../../../core/layout/side-totals.ts';
import { breakable } from '../../support/breakable.ts';
import { noFilmAreaSample } from '../findings/sample-findings.ts';
import { jobSample, lap, panel, sideSample, split } from '../job/sample-job.ts';
import { sidesArbitrary } from './arbitrary-layout.ts';

const sideDatums = (layout: SideLayout) => layout.seams.map((seam) => seamDatums(layout, seam, 'mm'));

const layoutOf = (side: Partial<Side> = {}) => sideLayout(jobSample(), sideSample(side));

const line = (
  id: string,
  direction: BodyLine['direction'],
  atMm: number,
  extent?: BodyLine['extent'],
): BodyLine => ({
  id,
  name: `${id} line`,
  kind: 'molding',
  direction,
  atMm,
  ...(extent ? { extent } : {}),
});

describe('datums that an installer finds with a tape', () => {
  const layout = layoutOf({
    bodyLines: [
      line('belt', 'horizontal', 925),
      line('rail', 'horizontal', 870, { fromMm: 0, toMm: 2000 }),
      line('door', 'vertical', 1290.3),
      line('post', 'vertical', 2650),
    ],
  });
  const datums = Object.fromEntries(sideDatums(layout).map((d) => [d.seamId, d]));

  it('DT1 gives the nearest edge of the side, by its name on the vehicle', () => {
    expect(datums.j1!.near).toEqual({
      edge: 'left',
      distanceMm: 1290,
      text: '1290 mm from the front (left) edge',
    });
    expect(datums.j1!.far).toEqual({
      edge: 'right',
      distanceMm: 4840,
      text: '4840 mm from the rear (right) edge',
    });
    expect(datums.j3!.near.text).toBe('890 mm from the top edge');
    expect(edgeName('left', 'right')).toBe('rear (left)');
    expect(edgeName('left', 'none')).toBe('left');
  });

  it('gives the nearest parallel body line that runs beside the seam, and on which side of it the seam is', () => {
    expect(datums.j3!.fromLine).toMatchObject({
      lineId: 'belt',
      distanceMm: 35,
      lies: 'above',
      text: '35 mm above the molding “belt line”',
    });
    expect(datums.j2!.fromLine).toMatchObject({
      lineId: 'post',
      lies: 'right-of',
      text: '60 mm right of the molding “post line”',
    });
    expect(datums.j1!.fromLine).toMatchObject({
      lineId: 'door',
      lies: 'on',
      text: 'on the molding “door line”',
    });
    expect(seamDatums(layoutOf(), layoutOf().seams[0]!, 'mm')).not.toHaveProperty('fromLine');
  });

  it('speaks in the format that the sheet asks for', () => {
    const seam = layout.seams.find(({ id }) => id === 'j3')!;
    expect(breakable(seamDatums(layout, seam, 'in').fromLine!.text)).toBe(
      '1 3/8 in above the molding “belt line”',
    );
  });

  it('DT4 measures from no edge that is not there', () => {
    const arch = (heightMm: number) =>
      noFilmAreaSample({
        kind: 'wheel-arch',
        rect: { xMm: 0, yMm: 2270 - heightMm, widthMm: 300, heightMm },
      });
    const first = (noFilmAreas: Side['noFilmAreas']) =>
      sideDatums(layoutOf({ noFilmAreas })).find(({ seamId }) => seamId === 'j1')!;
    // The arch takes the lower part of the left edge: a tape finds it above. One of the full height takes all of it.
    expect(first([arch(900)]).near.edge).toBe('left');
    expect(first([arch(2270)])).toMatchObject({ near: { edge: 'right', distanceMm: 4840 } });
    expect(first([arch(2270)])).not.toHaveProperty('far');
  });

  it('the two edges are apart by the whole side', () => {
    fc.assert(
      fc.property(sidesArbitrary, (side) => {
        const any = sideLayout(jobSample(), side);
        for (const [index, { near, far }] of sideDatums(any).entries()) {
          const whole = any.seams[index]!.direction === 'vertical' ? 6130 : 2270;
          expect(near.distanceMm + far!.distanceMm).toBeCloseTo(whole, 6);
          expect(near.distanceMm).toBeLessThanOrEqual(far!.distanceMm);
        }
      }),
      { numRuns: 50 },
    );
  });
});

describe('totals of a side', () => {
  it('adds up panels, areas and seams, worked by hand', () => {
    // Seams: 2270 + 2270 + 3420. Film: 1414×2440 + 1505×2440 + 3551×1004 + 3551×1521.
    expect(sideTotals(layoutOf())).toEqual({
      panelCount: 4,
      netAreaMm2: 6130 * 2270,
      coveredAreaMm2: 6130 * 2270,
      filmAreaMm2: 1414 * 2440 + 1505 * 2440 + 3551 * 1004 + 3551 * 1521,
      seamLengthMm: 7960,
    });
  });

  it('takes openings off the covered area and off the seams through them, once', () => {
    const layout = layoutOf({
      noFilmAreas: [
        noFilmAreaSample({ rect: { xMm: 1100, yMm: 230, widthMm: 413, heightMm: 560 } }),
        noFilmAreaSample({ id: 'o2', rect: { xMm: 1200, yMm: 700, widthMm: 300, heightMm: 190 } }),
      ],
    });
    const totals = sideTotals(layout);
    // The two share 300 × 90; together they take 230…890 = 660 mm out of the first seam.
    expect(totals.coveredAreaMm2).toBe(6130 * 2270 - (413 * 560 + 300 * 190 - 300 * 90));
    expect(totals.netAreaMm2).toBe(6130 * 2270);
    expect(totals.seamLengthMm).toBe(7960 - 660);
  });
});

describe('edges in words', () => {
  const layout = layoutOf({
    bleed: { top: 0, right: 60, bottom: 70, left: 50 },
    layout: split(
      'vertical',
      [
        lap('j1', 1290),
        lap('j2', 2710, { kind: 'gap', firstMm: 17, secondMm: 23 }),
        lap('j4', 4000, { kind: 'butt', firstMm: 0, secondMm: 0 }),
      ],
      [
        split('horizontal', [lap('j3', 890, { firstMm: 0, secondMm: 25 })], [panel('p1'), panel('p2')]),
        panel('p3'),
        panel('p4'),
        panel('p5'),
      ],
    ),
  });
  const text = (id: string, edge: 'top' | 'right' | 'bottom' | 'left') =>
    edgeDescription(layout, layout.panels.find((p) => p.id === id)!, edge, 'mm').text;
  const label = (id: string) => layout.panels.find((p) => p.id === id)!.label;

  it('says over or under whom, and how far the two cover each other once trimmed', () => {
    // Printed 25 of which the trim takes 14: 11 stay; at the other seam all 25 extend under.
    expect(text('p3', 'left')).toBe(`under ${label('p1')} and ${label('p2')}, extends 11 mm past the seam`);
    expect(text('p2', 'right')).toBe(`over ${label('p3')}, finished overlap 11 mm`);
    expect(text('p1', 'bottom')).toBe(`over ${label('p2')}, finished overlap 25 mm`);
    expect(text('p3', 'right')).toBe(`wraps 17 mm into the gap to ${label('p4')}`);
    expect(text('p4', 'right')).toBe(`edge to edge with ${label('p5')}`);
    expect(text('p3', 'bottom')).toBe('bleed 70 mm');
    expect(text('p3', 'top')).toBe('no bleed');
  });

  it('TR3 lists the edges that are trimmed in the shop, in install order', () => {
    expect(shopTrims(layout).map(({ panelId, edge, seamId }) => [panelId, edge, seamId])).toEqual([
      ['p5', 'top', undefined],
      ['p5', 'left', 'j4'],
      ['p4', 'top', undefined],
      ['p4', 'right', 'j4'],
      ['p3', 'top', undefined],
      ['p1', 'top', undefined],
      ['p1', 'bottom', 'j3'],
    ]);
  });
});
