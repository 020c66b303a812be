import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { findingKey } from '../../core/findings/finding.ts';
import { layoutFindings } from '../../core/findings/layout/findings.ts';
import { doorOutline, sideLines } from '../../core/job/door.ts';
import { jobFromJson } from '../../core/job/job-json.ts';
import type { Job, Joint, Region, StoredRect } from '../../core/job/schema.ts';
import { jobLayout, type PageExtents } from '../../core/layout/side-layout.ts';
import { DRIVER_PASSENGER_SIDES } from '../../core/shop/side-names.ts';
import { metricJob } from '../support/metric-job.ts';
import { BOOKMOBILE, type Box, type SceneUnit, TRAILER, TRAILER_BAY_MM } from './scene.ts';

const DEMOS = [
  { file: 'bookmobile.job.json', unit: BOOKMOBILE },
  { file: 'outreach-trailer.job.json', unit: TRAILER },
];

function jobRead(file: string): Job {
  const result = jobFromJson(readFileSync(new URL(`../../assets/demo/${file}`, import.meta.url), 'utf8'));
  if (!result.ok) throw new Error(result.problem.message);
  return result.value;
}

/** The bleed around each side, and nothing beyond it. */
const pagesOf = (unit: SceneUnit): PageExtents =>
  new Map(
    unit.sides.map(({ page, widthMm, heightMm, bleedMm }) => [
      page,
      {
        x: -bleedMm / 10,
        y: -bleedMm / 10,
        width: (widthMm + 2 * bleedMm) / 10,
        height: (heightMm + 2 * bleedMm) / 10,
      },
    ]),
  );

/** Where a seam stands beside a rivet row: 1 1/4 in. */
const BESIDE_ROW_MM = 1.25 * 25.4;

const boxOf = ({ x, y, width, height }: Box): StoredRect => ({
  xMm: x,
  yMm: y,
  widthMm: width,
  heightMm: height,
});

function regionJoints(region: Region): { joint: Joint; seams: 'horizontal' | 'vertical' }[] {
  if (region.kind === 'panel') return [];
  const own = region.joints.map((joint) => ({ joint, seams: region.seams }));
  return [...own, ...region.parts.flatMap(regionJoints)];
}

describe.each(DEMOS)('demo job $file', ({ file, unit }) => {
  const job = jobRead(file);

  it('says of each side what the artwork was drawn from', () => {
    expect(job.sides.map((side) => side.code)).toEqual(unit.sides.map((side) => side.code));
    for (const [i, scene] of unit.sides.entries()) {
      const side = job.sides[i]!;
      expect(side.page).toBe(scene.page);
      expect(side.front).toBe(scene.front);
      expect(side.artworkRect.widthMm * job.scale).toBe(scene.widthMm);
      expect(side.artworkRect.heightMm * job.scale).toBe(scene.heightMm);
      expect(new Set(Object.values(side.bleed))).toEqual(new Set([scene.bleedMm]));
      expect(side.bodyLines.map((line) => [line.name, line.kind, line.direction, line.atMm])).toEqual(
        scene.bodyLines.map((line) => [line.name, line.kind, line.direction, line.at]),
      );
      expect(side.bodyLines.map(({ shape }) => shape?.map(({ alongMm, offMm }) => [alongMm, offMm]))).toEqual(
        scene.bodyLines.map(({ shape }) => shape),
      );
      expect((side.doors ?? []).map((door) => [door.name, doorOutline(door)!.rect])).toEqual(
        (scene.doors ?? []).map(({ name, x, y, width, height }) => [name, { x, y, width, height }]),
      );
      expect(side.ground.map(({ name, rect }) => [name, rect])).toEqual(
        (scene.recesses ?? []).map((recess) => [recess.name, boxOf(recess)]),
      );
      expect(side.noSeamAreas.map((area) => area.rect)).toEqual(scene.lettering.map(boxOf));
      expect(side.noFilmAreas.map(({ kind, rect }) => [kind, rect])).toEqual(
        scene.noFilmAreas.map((noFilmArea) => [noFilmArea.kind, boxOf(noFilmArea)]),
      );
    }
  });

  it('is a job of a shop in the United States', () => {
    expect(job.displayUnit).toBe('in');
    expect(job.output.mapSheet).toBe('Tabloid');
    expect(job.production?.figures.currency).toBe('USD');
    const { left, right } =
      DRIVER_PASSENGER_SIDES[job.vehicles[0]!.kind === 'trailer' ? 'trailer' : 'vehicle'];
    expect(job.sides.slice(0, 2).map(({ code, name }) => ({ code, name }))).toEqual([left, right]);
    expect(job.sides.slice(2).map(({ code }) => code)).toEqual(unit === BOOKMOBILE ? ['REAR'] : []);
  });

  it('can be printed as it is: nothing to stop it, nothing left to acknowledge', () => {
    const pages = pagesOf(unit);
    const artwork = { fileName: unit.fileName, sha256: 'b'.repeat(64), sizeBytes: 17, box: 'trim' } as const;
    const whole = { ...job, artwork };
    const findings = layoutFindings(whole, jobLayout(whole, pages), { pages });
    expect(findings.filter(({ severity }) => severity === 'stop')).toEqual([]);
    const warned = findings.filter(({ severity }) => severity === 'warn');
    expect(warned.map(findingKey)).toEqual(job.acknowledgements.map(({ finding }) => finding));
    expect(warned.map(({ figure }) => figure)).toEqual(job.acknowledgements.map(({ figure }) => figure));
    expect(findings.map((finding) => finding.code)).toContain('no-film-area-act');
  });

  it('keeps its rules as a job of a metric shop too', () => {
    const pages = pagesOf(unit);
    const artwork = { fileName: unit.fileName, sha256: 'b'.repeat(64), sizeBytes: 17, box: 'trim' } as const;
    const metric = { ...metricJob(job), artwork };
    const layouts = jobLayout(metric, pages);
    const stops = layoutFindings(metric, layouts, { pages }).filter(({ severity }) => severity === 'stop');
    expect(stops).toEqual([]);
    expect(layouts.map(({ side }) => side.code).slice(0, 2)).toEqual(['LH', 'RH']);
    expect(jobFromJson(JSON.stringify(metric)).ok).toBe(true);
  });

  // Common practice, no source: seams hide on body lines, upper over lower, front over rear; film ends half an inch
  // beside rivet heads of half an inch, so 3/4 in beside the row.
  it('lays its seams on body lines or beside rivets, upper over lower and front over rear', () => {
    for (const side of job.sides) {
      for (const { joint, seams } of regionJoints(side.layout)) {
        const under = joint.top === 'first' ? -joint.secondMm : joint.firstMm;
        const beside = joint.top === 'first' ? BESIDE_ROW_MM : -BESIDE_ROW_MM;
        const lines = sideLines(side).filter(({ id, direction, kind, atMm }) =>
          joint.follows
            ? joint.follows === id
            : direction === seams &&
              Math.abs((kind === 'rivet-row' ? atMm + beside : atMm) - joint.atMm) < 1e-9,
        );
        expect(lines, joint.id).toHaveLength(1);
        expect(joint.kind, joint.id).toBe(lines[0]?.kind === 'body-gap' ? 'gap' : 'lap');
        if (lines[0]?.kind === 'rivet-row')
          expect(Math.abs(beside + under), joint.id).toBeCloseTo(0.75 * 25.4, 9);
        if (joint.kind !== 'lap') continue;
        const top = seams === 'horizontal' || side.front === 'left' ? 'first' : 'second';
        expect(joint.top, joint.id).toBe(top);
      }
    }
  });
});

describe('demo jobs', () => {
  it('overlap by 1 in on the van and by 3 in on the trailer, there most of it on the top part', () => {
    const overlaps = (job: Job) =>
      job.sides
        .flatMap((side) => regionJoints(side.layout))
        .filter(({ joint }) => joint.kind === 'lap')
        .map(({ joint }) => (joint.firstMm + joint.secondMm).toFixed(6));
    expect(new Set(overlaps(jobRead('bookmobile.job.json')))).toEqual(new Set(['25.400000']));
    const trailer = jobRead('outreach-trailer.job.json');
    expect(new Set(overlaps(trailer))).toEqual(new Set(['76.200000']));
    for (const { joint } of trailer.sides.flatMap((side) => regionJoints(side.layout))) {
      expect(joint.top === 'first' ? joint.firstMm : joint.secondMm).toBe(2.5 * 25.4);
    }
  });

  it('give the trailer a panel for each bay', () => {
    for (const { panels } of jobLayout(jobRead('outreach-trailer.job.json'))) {
      const widths = panels.map((panel) => panel.net.width).sort((a, b) => a - b);
      const expected = [
        6000 - 4 * TRAILER_BAY_MM - BESIDE_ROW_MM,
        ...Array(3).fill(TRAILER_BAY_MM),
        TRAILER_BAY_MM + BESIDE_ROW_MM,
      ];
      for (const [at, width] of expected.entries()) expect(widths[at]).toBeCloseTo(width, 6);
      expect(widths).toHaveLength(expected.length);
    }
  });

  it('divide the van in nested splits: doors upright, fender and body across', () => {
    const [left, right] = jobLayout(jobRead('bookmobile.job.json'));
    const size = (panels: NonNullable<typeof left>['panels'], id: string) => {
      const net = panels.find((panel) => panel.id === id)?.net;
      return [net?.width, net?.height];
    };
    expect(size(left!.panels, 'ds-door')).toEqual([920, 2300]);
    // The belt line lies lowest at the front, and highest at the rear corner: 882 + 2 × 288.25 ÷ 320.
    expect(size(left!.panels, 'ds-fender-upper')).toEqual([1010, 985]);
    expect(size(left!.panels, 'ds-body-skirt')).toEqual([6880 + BESIDE_ROW_MM - 1930, 420]);
    expect(size(right!.panels, 'ps-door-front-leaf')).toEqual([590, 2300]);
    expect(size(right!.panels, 'ps-body-middle')).toEqual([
      5010 - 320 + BESIDE_ROW_MM,
      expect.closeTo(1880 - 883.802, 3),
    ]);
  });
});
