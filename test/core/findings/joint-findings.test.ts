import { describe, expect, it } from 'vitest';
import type { BodyLine, Joint, Side } from '../../../core/job/schema.ts';
import { lap, panel, split } from '../job/sample-job.ts';
import { codesOf, findingOf, findingsOf, jobClean, noFilmAreaSample } from './sample-findings.ts';

const withJoint = (
  joint: Partial<Joint>,
  direction: 'horizontal' | 'vertical' = 'vertical',
  side: Partial<Side> = {},
) =>
  jobClean({
    layout: split(
      direction,
      [lap('j1', direction === 'vertical' ? 1290 : 1100, joint)],
      [panel('p1'), panel('p2')],
    ),
    ...side,
  });

// Half of the side in one panel is too large for roll and page; these tests look at joints only.
const jointCodes = (job: ReturnType<typeof jobClean>) =>
  codesOf(job).filter((code) => !/^(panel-too|page-beyond)/.test(code));

describe('findings about joints', () => {
  it('OV1 stops a overlap seam without overlap', () => {
    const found = findingOf(withJoint({ firstMm: 0, secondMm: 0 }), 'lap-zero');
    expect(found).toMatchObject({ severity: 'stop', where: { sideId: 's1', seamId: 'j1' } });
    expect(found.message).toBe('The vertical seam at 1290 mm of LH is an overlap seam without any overlap.');
    expect(jointCodes(withJoint({ kind: 'butt', firstMm: 0, secondMm: 0 }))).not.toContain('lap-zero');
  });

  it('OV2 warns of an overlap under the limit of the shop', () => {
    const found = findingOf(withJoint({ firstMm: 4, secondMm: 7 }), 'lap-narrow');
    expect(found).toMatchObject({ severity: 'warn', figure: 11 });
    expect(found.message).toBe(
      'The vertical seam at 1290 mm of LH overlaps by 11 mm, under the limit of 12 mm.',
    );
    expect(jointCodes(withJoint({ firstMm: 5, secondMm: 7 }))).toEqual([]);
  });

  it('OV3 warns of a lap with nothing under its top part', () => {
    expect(
      findingOf(withJoint({ firstMm: 25, secondMm: 0, top: 'first' }), 'lap-nothing-under').severity,
    ).toBe('warn');
    expect(jointCodes(withJoint({ firstMm: 0, secondMm: 25, top: 'first' }))).toEqual(['shop-trim']);
  });

  it('OV4 warns of an allowance that reaches past the panel beside it', () => {
    const layout = split(
      'vertical',
      [lap('j1', 1290, { firstMm: 95 }), lap('j2', 1380)],
      [panel('p1'), panel('p2'), panel('p3')],
    );
    const found = findingOf(jobClean({ layout }), 'lap-past-neighbor');
    expect(found.message).toBe('The overlap at the vertical seam at 1290 mm of LH reaches past LH-02.');
  });

  it('OV5 notes seams on one line that overlap by different widths', () => {
    const column = (n: number, firstMm: number) =>
      split('horizontal', [lap(`jh${n}`, 1100, { firstMm })], [panel(`pu${n}`), panel(`pl${n}`)]);
    const job = (firstMm: number) =>
      jobClean({ layout: split('vertical', [lap('j1', 3000)], [column(1, 14), column(2, firstMm)]) });
    expect(findingOf(job(20), 'lap-unequal-on-line').message).toBe(
      'Seams on one line, the horizontal seam at 1100 mm of LH, overlap by 25 mm and 31 mm.',
    );
    expect(codesOf(job(14))).not.toContain('lap-unequal-on-line');
  });

  it('LP1 warns of a lap that lies against the water', () => {
    const found = findingOf(withJoint({ top: 'second' }, 'horizontal'), 'lap-against-water');
    expect(found.message).toBe(
      'The horizontal seam at 1100 mm of LH has its lower part on top, so water runs into the overlap.',
    );
    expect(jointCodes(withJoint({ top: 'first' }, 'horizontal'))).toEqual([]);
  });

  it('LP2 warns of a lap that lies against the wind, where the side has a front', () => {
    const found = findingOf(withJoint({ top: 'second' }), 'lap-against-wind');
    expect(found).toMatchObject({ severity: 'warn' });
    expect(jointCodes(withJoint({ top: 'first' }))).toEqual([]);
    expect(jointCodes(withJoint({ top: 'first' }, 'vertical', { front: 'right' }))).toEqual([
      'lap-against-wind',
    ]);
    expect(jointCodes(withJoint({ top: 'second' }, 'vertical', { front: 'right' }))).toEqual([]);
    expect(jointCodes(withJoint({ top: 'second' }, 'vertical', { front: 'none' }))).toEqual([]);
  });

  it('heeds water and wind for laps only', () => {
    expect(jointCodes(withJoint({ kind: 'gap', top: 'second' }))).toEqual([]);
    expect(jointCodes(withJoint({ kind: 'gap', top: 'second' }, 'horizontal'))).toEqual([]);
  });

  it('notes each edge that is trimmed in the shop', () => {
    const found = findingOf(withJoint({ firstMm: 0, secondMm: 25 }), 'shop-trim');
    expect(found).toMatchObject({ severity: 'note', where: { panelId: 'p1', seamId: 'j1' } });
    expect(found.message).toBe(
      'The right edge of panel LH-02 is seen and has no image to spare, so its border is trimmed in the shop.',
    );
  });
});

describe('findings about the place of a seam', () => {
  const area = { id: 'k1', name: 'Phone number', rect: { xMm: 1200, yMm: 300, widthMm: 500, heightMm: 210 } };

  it('PL1 warns of a seam through a no-seam area', () => {
    const found = findingOf(jobClean({ noSeamAreas: [area] }), 'seam-through-no-seam-area');
    expect(found).toMatchObject({ severity: 'warn', where: { seamId: 'j1', itemId: 'k1' }, figure: 1290 });
    expect(found.message).toBe('The vertical seam at 1290 mm of LH crosses the no-seam area “Phone number”.');
  });

  it('PL1 heeds where the seam runs: an area beside the end of a nested seam is not crossed', () => {
    const beside = { ...area, rect: { xMm: 1500, yMm: 700, widthMm: 1210, heightMm: 400 } };
    expect(codesOf(jobClean({ noSeamAreas: [beside] }))).toEqual(['lap-in-no-seam-area']);
    const onNested = { ...area, rect: { xMm: 2900, yMm: 700, widthMm: 1210, heightMm: 400 } };
    expect(findingOf(jobClean({ noSeamAreas: [onNested] }), 'seam-through-no-seam-area').where.seamId).toBe(
      'j3',
    );
  });

  it('PL2 notes a lap whose band reaches into a no-seam area', () => {
    // The band of the seam at 1290 is 1279 to 1304.
    const near = (xMm: number) => jobClean({ noSeamAreas: [{ ...area, rect: { ...area.rect, xMm } }] });
    expect(findingOf(near(1303), 'lap-in-no-seam-area')).toMatchObject({
      severity: 'note',
      where: { seamId: 'j1' },
    });
    expect(codesOf(near(1304))).toEqual([]);
    expect(codesOf(near(779))).toEqual([]);
    expect(codesOf(near(780))).toEqual(['lap-in-no-seam-area']);
  });

  it('PL3 warns of a seam in the edge region of an opening', () => {
    const beside = (xMm: number, clearanceMm = 20) =>
      jobClean({
        noFilmAreas: [
          noFilmAreaSample({ clearanceMm, rect: { xMm, yMm: 230, widthMm: 413, heightMm: 560 } }),
        ],
      });
    const found = findingOf(beside(1303), 'seam-near-no-film-area');
    expect(found).toMatchObject({ severity: 'warn', figure: 13 });
    expect(found.message).toBe(
      'The vertical seam at 1290 mm of LH runs 13 mm beside the window “Side window”, within its edge of 20 mm, where film lifts first.',
    );
    expect(codesOf(beside(1310))).toEqual([]);
    expect(codesOf(beside(1290))).toEqual(['seam-near-no-film-area']);
    expect(codesOf(beside(858))).toEqual(['seam-near-no-film-area']);
    expect(codesOf(beside(1303, 0))).toEqual([]);
  });

  it('PL4 notes a seam that crosses an opening and ends on its edges', () => {
    const job = jobClean({
      noFilmAreas: [noFilmAreaSample({ rect: { xMm: 1100, yMm: 230, widthMm: 413, heightMm: 560 } })],
    });
    expect(findingOf(job, 'seam-crosses-no-film-area')).toMatchObject({
      severity: 'note',
      where: { seamId: 'j1', itemId: 'o1' },
    });
    expect(codesOf(job)).toEqual(['seam-crosses-no-film-area']);
  });

  it('PL5 warns of a seam through a recess, and notes one on a curve', () => {
    const rect = { xMm: 1200, yMm: 1300, widthMm: 200, heightMm: 330 };
    const hard = (kind: 'recess' | 'curve') => jobClean({ ground: [{ id: 'h1', name: 'Rail', kind, rect }] });
    expect(findingOf(hard('recess'), 'seam-through-difficult-ground').severity).toBe('warn');
    expect(findingOf(hard('curve'), 'seam-through-difficult-ground').severity).toBe('note');
  });

  it('PL7 warns of film that ends too near to a rivet row, seen or covered', () => {
    const rivets = (atMm: number, extent?: BodyLine['extent']): BodyLine[] => [
      { id: 'l1', name: 'Post 3', kind: 'rivet-row', direction: 'vertical', atMm, ...(extent && { extent }) },
    ];
    // The left part lies on top and is seen to 1,290; 20 mm of the right one lie under it, from 1,270 on.
    const found = (bodyLines: BodyLine[], joint: Partial<Joint> = {}) =>
      findingsOf(
        withJoint({ firstMm: 5, secondMm: 20, top: 'first', ...joint }, 'vertical', { bodyLines }),
      ).filter(({ code }) => code === 'seam-near-rivet-row');
    // Half of a head of 12.7 mm and 12.7 mm beside it: 19.05 mm from the row.
    const [seen] = found(rivets(1308));
    expect(seen).toMatchObject({ severity: 'warn', where: { seamId: 'j1', itemId: 'l1' } });
    expect(seen!.figure).toBeCloseTo(11.65, 9);
    expect(seen!.message).toBe(
      'The vertical seam at 1290 mm of LH ends film 11.7 mm from the heads of the rivet row “Post 3”, where it lifts first; the shop keeps 12.7 mm.',
    );
    // 1,308 less 19.05; 1,308 and 19.05 and 20 more for the covered edge.
    expect(seen!.remedy).toBe('Move the seam beside the row: up to 1288 mm, or from 1348 mm on.');
    expect(found(rivets(1310))).toEqual([]);
    expect(found(rivets(1250))).toEqual([]);
    expect(found(rivets(1252))).toHaveLength(1);
    expect(found(rivets(1271))[0]!.message).toContain('ends film on the heads of the rivet row');
    expect(found(rivets(1252), { kind: 'butt', firstMm: 0, secondMm: 0 })).toEqual([]);
    expect(found(rivets(1290), { kind: 'gap' })).toEqual([]);
    expect(found(rivets(1290, { fromMm: 2400, toMm: 2500 }))).toEqual([]);
    // A row is no line to move the seam onto.
    expect(codesOf(withJoint({}, 'vertical', { bodyLines: rivets(1325) }))).not.toContain(
      'seam-near-body-line',
    );
  });

  it('PL6 notes a seam near a body line but not on it', () => {
    const line = (atMm: number, more: Partial<BodyLine> = {}): Side['bodyLines'][number] => ({
      id: 'b1',
      name: 'Front door',
      kind: 'body-gap',
      direction: 'vertical',
      atMm,
      ...more,
    });
    const found = findingOf(jobClean({ bodyLines: [line(1327)] }), 'seam-near-body-line');
    expect(found).toMatchObject({ severity: 'note', where: { seamId: 'j1', itemId: 'b1' } });
    expect(found.message).toBe(
      'The vertical seam at 1290 mm of LH lies 37 mm from the body gap “Front door” at 1327 mm, but not on it.',
    );
    expect(codesOf(jobClean({ bodyLines: [line(1290.8)] }))).not.toContain('seam-near-body-line');
    expect(codesOf(jobClean({ bodyLines: [line(1341)] }))).toEqual([]);
    expect(codesOf(jobClean({ bodyLines: [line(1327, { direction: 'horizontal' })] }))).toEqual([]);
    expect(
      codesOf(
        jobClean({ bodyLines: [line(870, { direction: 'horizontal', extent: { fromMm: 0, toMm: 2710 } })] }),
      ),
    ).toEqual([]);
  });
});

describe('every finding', () => {
  it('says what is wrong and what to do in one sentence each', () => {
    const job = jobClean(
      {
        bleed: { top: 0, right: 0, bottom: 0, left: 0 },
        measured: { widthMm: 5000, heightMm: 2270 },
        noSeamAreas: [
          { id: 'k1', name: 'Phone', rect: { xMm: 1200, yMm: 300, widthMm: 3500, heightMm: 1210 } },
        ],
        noFilmAreas: [
          noFilmAreaSample({ kind: 'sensor' }),
          noFilmAreaSample({ id: 'o2', rect: { xMm: 9000, yMm: 1, widthMm: 3, heightMm: 4 } }),
        ],
        layout: split(
          'vertical',
          [
            lap('j1', 1290, { firstMm: 0, secondMm: 0 }),
            lap('j2', 1390, { top: 'second' }),
            lap('j3', 3000, { firstMm: 2, secondMm: 1 }),
          ],
          ['p1', 'p2', 'p3', 'p4'].map(panel),
        ),
      },
      {
        output: {
          size: { kind: 'reduction', factor: 3.5 },
          borderMm: 4,
          marks: true,
          numbering: 'reading-order',
          mapSheet: 'A4',
        },
      },
    );
    const found = findingsOf({ ...job, printer: { ...job.printer, longestPrintMm: 1000 } });
    expect(new Set(found.map(({ code }) => code)).size).toBeGreaterThan(12);
    for (const { code, message, remedy } of found) {
      expect(code).toMatch(/^[a-z]+(-[a-z]+)*$/);
      for (const text of [message, remedy]) {
        expect(text).toMatch(/^[A-Z“][^\n]*\.$/);
        expect(text.replace(/\d\.\d/g, '').match(/\.\s/g), text).toBeNull();
        expect(text).not.toMatch(/NaN|undefined|Infinity|\d\.\d{5,}/);
      }
    }
  });
});
