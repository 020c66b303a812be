import { describe, expect, it } from 'vitest';
import { sideFindings } from '../../../core/findings/layout/findings.ts';
import { panelWasteMm2 } from '../../../core/findings/layout/seam-shape-findings.ts';
import { seamFollow } from '../../../core/job/edits/edits.ts';
import type { BodyLine, Job, Side } from '../../../core/job/schema.ts';
import { sideLayout } from '../../../core/layout/side-layout.ts';
import { edited, jobSample, sideSample } from '../job/sample-job.ts';

const lineOf = (...shape: [number, number][]): BodyLine => ({
  id: 'belt',
  name: 'Belt',
  kind: 'crease',
  direction: 'horizontal',
  atMm: 850,
  shape: shape.map(([alongMm, offMm]) => ({ alongMm, offMm })),
});

const jobOf = (line: BodyLine, more: Partial<Side> = {}, over: Partial<Job> = {}): Job =>
  edited(
    seamFollow(jobSample({ sides: [sideSample({ bodyLines: [line], ...more })], ...over }), {
      sideId: 's1',
      seamId: 'j3',
      lineId: 'belt',
    }),
  );
const found = (job: Job, code: string) =>
  sideFindings(job, sideLayout(job, job.sides[0]!)).filter((finding) => finding.code === code);

describe('findings of a seam with shape', () => {
  it('LIN9 a rise of more than 150 mm warns with the film that is not needed, in both units', () => {
    const steep = jobOf(lineOf([2710, 0], [6130, 300]));
    const { panels } = sideLayout(steep, steep.sides[0]!);
    // A triangle of 300 mm over the panel’s length and what is printed past its ends, above and below the seam.
    const waste = panels.reduce((sum, panel) => sum + panelWasteMm2(panel), 0);
    expect(waste / 1e6).toBeCloseTo((2 * (3420 * 300)) / 2 / 1e6 + (0.06 + 0.011) * 0.3, 1);
    const [warning] = found(steep, 'seam-shape-film');
    expect(warning).toMatchObject({ severity: 'warn', where: { seamId: 'j3' }, figure: 300 });
    expect(warning!.message).toContain(
      'The horizontal seam at 850 mm to 1150 mm of LH rises by 300 mm, so its panels are printed with 1.0',
    );
    const inches = found({ ...steep, displayUnit: 'in' }, 'seam-shape-film')[0]!.message;
    expect(inches).toMatch(/rises by 11.13\/16.in, so its panels are printed with 11\.\d ft² more film/);
    expect(found(jobOf(lineOf([2710, 0], [6130, 150])), 'seam-shape-film')).toEqual([]);
  });

  it('LIN9 a turn of more than 90° warns of its place', () => {
    const sharp = jobOf(lineOf([3000, 0], [3100, 140], [3200, 0]));
    expect(found(sharp, 'seam-shape-sharp')[0]!.message).toBe(
      'The horizontal seam at 850 mm to 990 mm of LH turns by more than 90° at 3100 mm from the left, where film lifts first.',
    );
    expect(found(jobOf(lineOf([3000, 0], [3100, 90], [3200, 0])), 'seam-shape-sharp')).toEqual([]);
  });

  it('LIN9 a bend warns where its radius is less than the shop allows, however far it turns', () => {
    // An arc of the points of a circle, with straight ends that touch it.
    const bend = (radius: number, turn: number, steps: number) => {
      const arc = Array.from({ length: steps + 1 }, (_, i) => ((i / steps - 0.5) * turn * Math.PI) / 180);
      const point = (a: number): [number, number] => [
        3500 + radius * Math.sin(a),
        200 - radius * (1 - Math.cos(a)),
      ];
      const half = arc.at(-1)! * (1 + 1 / steps);
      const [reach, foot] = point(arc.at(-1)!);
      const run = foot / Math.tan(half);
      return lineOf([7000 - reach - run, 0], ...arc.map(point), [reach + run, 0]);
    };
    const limits = (radius: number) => ({
      limits: { ...jobSample().limits, leastCornerRadiusMm: radius },
    });
    const sharp = (line: BodyLine, over: Partial<Job> = {}) =>
      found(jobOf(line, {}, over), 'seam-shape-sharp');
    expect(sharp(bend(4.9, 110, 11))).toHaveLength(1);
    expect(sharp(bend(4.9, 40, 4))[0]!.message).toMatch(
      /bends with a radius of less than 5 mm at 3500 mm from the left/,
    );
    expect(sharp(bend(5.1, 110, 11))).toEqual([]);
    expect(sharp(bend(5.1, 40, 3))).toEqual([]);
    // A kink of 20° together is no curve.
    expect(sharp(bend(1, 16, 4))).toEqual([]);
    expect(sharp(bend(20, 60, 6))).toEqual([]);
    expect(sharp(bend(20, 60, 6), limits(25))).toHaveLength(1);
    expect(sharp(bend(20, 60, 6), limits(15))).toEqual([]);
    expect(sharp(bend(4.9, 60, 6), limits(0))).toEqual([]);
  });

  it('LIN9 the rise that warns is the shop’s', () => {
    const limits = { ...jobSample().limits, mostRiseMm: 320 };
    expect(found(jobOf(lineOf([2710, 0], [6130, 300]), {}, { limits }), 'seam-shape-film')).toEqual([]);
  });

  it('PL1 a seam meets a no-seam area, a no-film area and a recess where it runs, not where its mean lies', () => {
    const line = lineOf([3000, 0], [5600, 260]);
    const at = (yMm: number) => ({ xMm: 5000, yMm, widthMm: 300, heightMm: 40 });
    const area = (yMm: number) => ({ noSeamAreas: [{ id: 'k1', name: 'Name', rect: at(yMm) }] });
    // At x = 5000 to 5300 the seam lies at 1050 to 1080.
    expect(found(jobOf(line, area(1045)), 'seam-through-no-seam-area')).toHaveLength(1);
    expect(found(jobOf(line, area(960)), 'seam-through-no-seam-area')).toEqual([]);
    expect(found(jobOf(line, area(1100)), 'seam-through-no-seam-area')).toEqual([]);
    expect(found(jobOf(line, area(1085)), 'lap-in-no-seam-area')).toHaveLength(1);
    const recess = (yMm: number) => ({
      ground: [{ id: 'h1', name: 'Rail', kind: 'recess' as const, rect: at(yMm) }],
    });
    expect(found(jobOf(line, recess(1045)), 'seam-through-difficult-ground')).toHaveLength(1);
    expect(found(jobOf(line, recess(960)), 'seam-through-difficult-ground')).toEqual([]);
    const lamp = (yMm: number) => ({
      noFilmAreas: [{ id: 'o1', name: 'Lamp', kind: 'lamp' as const, rect: at(yMm), clearanceMm: 30 }],
    });
    const [near] = found(jobOf(line, lamp(1100)), 'seam-near-no-film-area');
    // Its lowest place beside the lamp and its frame, x = 4970 to 5330, is 1083: 17 above it.
    expect(near!.figure).toBeCloseTo(1100 - (850 + (260 * 2330) / 2600), 6);
  });

  it('a panel is as narrow as where its edges come nearest to each other', () => {
    const limits = { ...jobSample().limits, minPanelMm: 100 };
    const line = lineOf([3000, 0], [5600, 1300]);
    const job = { ...jobOf(line, {}, { limits }), limits: { ...limits, minPanelMm: 200 } };
    // 2270 less 850 less 1300.
    expect(found(job, 'panel-sliver')[0]!.message).toContain('is only 120 mm high when installed');
  });
});
