import { describe, expect, it } from 'vitest';
import { acknowledgementOf, isAcknowledged } from '../../../core/findings/layout/findings.ts';
import type { BodyLine, Side } from '../../../core/job/schema.ts';
import { checkInDimensions } from '../../../core/layout/check-in.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { lap, panel, split } from '../job/sample-job.ts';
import { codesOf, findingOf, findingsOf, jobClean, noFilmAreaSample } from './sample-findings.ts';

const line = (id: string, kind: BodyLine['kind'], atMm: number, more: Partial<BodyLine> = {}): BodyLine => ({
  id,
  name: `Line ${id}`,
  kind,
  direction: 'vertical',
  atMm,
  ...more,
});

const dimensionsOf = (side: Partial<Side>) =>
  checkInDimensions(jobLayout(jobClean(side))[0]!).map(({ id, from, drawnMm, toleranceMm }) => [
    id,
    from,
    drawnMm,
    toleranceMm,
  ]);

/** Two panels that wrap into the gap at 4417 of 6130. */
const IN_A_GAP = split(
  'vertical',
  [lap('j7', 4417, { kind: 'gap', firstMm: 18, secondMm: 21 })],
  [panel('p1'), panel('p2')],
);

describe('dimensions of the check-in sheet', () => {
  it('CK1 are width, height and the gaps in which seams lie, from the nearest edge', () => {
    const bodyLines = [
      line('crease', 'crease', 2011),
      line('gap', 'body-gap', 4417),
      line('other', 'body-gap', 977),
      line('low', 'molding', 1931, { direction: 'horizontal' }),
    ];
    expect(dimensionsOf({ bodyLines, layout: IN_A_GAP })).toEqual([
      ['width', 'left', 6130, 12],
      ['height', 'top', 2270, 12],
      ['gap', 'right', 6130 - 4417, 3],
      ['other', 'left', 977, 12],
      // Of the lines without a seam, by where they are.
      ['low', 'bottom', 2270 - 1931, 12],
    ]);
    // The gap is measured, too, where it has no body line.
    expect(dimensionsOf({ layout: IN_A_GAP })[2]).toEqual(['j7', 'right', 1713, 3]);
  });

  it('CK1 are both ends of a line that slopes, each where it is', () => {
    const shape = [
      { alongMm: 500, offMm: 0 },
      { alongMm: 2500, offMm: 130 },
      { alongMm: 7000, offMm: 220 },
    ];
    const belt = line('belt', 'crease', 820, { direction: 'horizontal', shape });
    expect(dimensionsOf({ bodyLines: [belt] })).toEqual([
      ['width', 'left', 6130, 12],
      ['height', 'top', 2270, 12],
      ['belt', 'top', 820, 12],
      // At the edge of the side, where the line continues: 950 + 90 × 3630 ÷ 4500.
      ['belt-end', 'top', expect.closeTo(1022.6, 6), 12],
    ]);
    const [, , start, end] = checkInDimensions(jobLayout(jobClean({ bodyLines: [belt] }))[0]!);
    expect([start!.to, end!.to]).toEqual(['Line belt, at its front end', 'Line belt, at its rear end']);
    expect([start!.alongMm, end!.alongMm]).toEqual([500, 6130]);
  });

  it('CK1 are the largest no-film areas, or the diagonal, where a side has no lines', () => {
    const arch = noFilmAreaSample({
      id: 'arch',
      kind: 'wheel-arch',
      rect: { xMm: 4800, yMm: 1700, widthMm: 1030, heightMm: 570 },
    });
    expect(dimensionsOf({ noFilmAreas: [noFilmAreaSample(), arch] }).slice(2)).toEqual([
      ['arch', 'right', 300, 12],
      ['o1', 'left', 210, 12],
    ]);
    const [, , diagonal] = dimensionsOf({});
    // 6130² + 2270² = 42,729,800.
    expect(diagonal).toEqual(['diagonal', 'left', Math.sqrt(42_729_800), 12]);
  });
});

describe('findings about what the tape showed', () => {
  const gapOff = (measuredMm: number) =>
    jobClean({
      bodyLines: [line('gap', 'body-gap', 4417)],
      layout: IN_A_GAP,
      checkIn: [{ dimensionId: 'gap', from: 'right', measuredMm }],
    });

  it('CK2 warns beyond 3 mm at a seam in a gap, beyond 12 mm at an outer edge', () => {
    const off = (codes: string[]) => codes.filter((code) => code === 'check-in-off');
    expect(off(codesOf(gapOff(1716)))).toEqual([]);
    expect(off(codesOf(gapOff(1717)))).toEqual(['check-in-off']);
    expect(off(codesOf(jobClean({ measured: { heightMm: 2282 } })))).toEqual([]);
    expect(findingOf(jobClean({ measured: { widthMm: 6144 } }), 'check-in-off').message).toBe(
      'Width, front edge to rear edge of side LH: the tape shows 6144 mm, the drawing has 6130 mm; 14 mm more, and 12 mm is the tolerance.',
    );
    // A figure from the other edge says nothing about this one.
    const other = gapOff(1717);
    const moved = {
      ...other,
      sides: other.sides.map((side) => ({
        ...side,
        checkIn: [{ dimensionId: 'gap', from: 'left' as const, measuredMm: 1717 }],
      })),
    };
    expect(off(codesOf(moved))).toEqual([]);
  });

  it('CK2 is acknowledged by name, for the figure that was seen', () => {
    const job = gapOff(1709);
    const found = findingOf(job, 'check-in-off');
    expect(found).toMatchObject({ severity: 'warn', where: { sideId: 's1', itemId: 'gap' }, figure: -4 });
    const accepted = (by: string) => ({
      ...job,
      acknowledgements: [acknowledgementOf(found, by, 'door hung anew')],
    });
    expect(isAcknowledged(accepted(''), found)).toBe(false);
    expect(isAcknowledged(accepted('R. Okafor'), found)).toBe(true);
    expect(isAcknowledged(accepted('R. Okafor'), findingOf(gapOff(1707), 'check-in-off'))).toBe(false);
  });
});

describe('findings about markings', () => {
  it('CK3 warns where artwork runs over DOT reflective tape or a legal marking (49 CFR 393.13, 390.21)', () => {
    const rect = { xMm: 1180, yMm: 2130, widthMm: 610, heightMm: 50 };
    const of = (kind: 'dot-tape' | 'legal-marking') =>
      findingOf(
        jobClean({ noFilmAreas: [noFilmAreaSample({ kind, rect, name: 'Row 3' })] }),
        'marking-covered',
      );
    expect(of('dot-tape')).toMatchObject({ severity: 'warn', where: { sideId: 's1', itemId: 'o1' } });
    expect(of('dot-tape').message).toContain('runs over the DOT reflective tape “Row 3” of side LH');
    expect(of('dot-tape').message).toContain('49 CFR 393.13');
    expect(of('legal-marking').message).toContain('49 CFR 390.21');
    // Below the side no panel is printed.
    const below = { ...rect, yMm: 2270 + 80 };
    const clear = jobClean({ noFilmAreas: [noFilmAreaSample({ kind: 'dot-tape', rect: below })] });
    expect(findingsOf(clear).map(({ code }) => code)).not.toContain('marking-covered');
  });
});
