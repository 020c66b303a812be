import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { jobFindings } from '../../core/checks/findings/job-findings.ts';
import type { Finding } from '../../core/findings/finding.ts';
import { jobFromJson } from '../../core/job/job-json.ts';
import type { Job, Region, Side } from '../../core/job/schema.ts';
import { jobLayout } from '../../core/layout/side-layout.ts';
import { rectIntersection } from '../../core/measure/rect.ts';
import { openArtwork, scanArtwork } from '../../main/artwork/artwork-file.ts';
import { DEMO_JOBS } from '../../main/job/demo-jobs.ts';
import { jobKnown } from '../../main/job/job-state.ts';
import { demoArtPath } from '../support/demo-art.ts';
import { BOOKMOBILE } from './scene.ts';

const SEAMS = 6;

/** Equal vertical panels over a side, framed by nobody. */
function inUprightPanels(side: Side, widthMm: number): Side {
  const at = (index: number) => (widthMm * (index + 1)) / (SEAMS + 1);
  const layout: Region = {
    kind: 'split',
    seams: 'vertical',
    joints: Array.from({ length: SEAMS }, (_, i) => ({
      id: `up-${side.code}-${i}`,
      kind: 'lap',
      atMm: at(i),
      firstMm: 20,
      secondMm: 5,
      top: 'second',
    })),
    parts: Array.from({ length: SEAMS + 1 }, (_, i) => ({ kind: 'panel', id: `part-${side.code}-${i}` })),
  };
  return { ...side, layout, noSeamAreas: [] };
}

describe('lettering of the demo artwork', () => {
  it('PL8 is told wherever six upright seams cut it, live or outlines, though nobody framed it', async () => {
    const read = jobFromJson(readFileSync(DEMO_JOBS.bookmobile.jobFile, 'utf8'));
    if (!read.ok) throw new Error(read.problem.message);
    const sides = read.value.sides.map((side) =>
      inUprightPanels(side, side.artworkRect.widthMm * read.value.scale),
    );
    const job: Job = { ...read.value, sides };
    const opened = await openArtwork(demoArtPath('bookmobile'), { box: 'trim' });
    if (!opened.ok) throw new Error(opened.problem.message);
    const known = jobKnown(job, await scanArtwork(opened.value));
    const found = jobFindings(known).filter(({ code }) => /^seam-(through|along)-/.test(code));
    const isTold = (seamId: string, box: { x: number; y: number; width: number; height: number }) =>
      found.some(
        ({ where }: Finding) =>
          where.seamId === seamId && where.area && rectIntersection(where.area, box) !== undefined,
      );
    const cut = jobLayout(job).flatMap(({ side, seams }) =>
      BOOKMOBILE.sides
        .find(({ code }) => code === side.code)!
        .lettering.flatMap((box) =>
          seams
            .filter(({ at }) => at > box.x + 40 && at < box.x + box.width - 40)
            .map(({ id }) => ({ seamId: id, box })),
        ),
    );
    expect(cut.length).toBeGreaterThanOrEqual(10);
    expect(cut.filter(({ seamId, box }) => !isTold(seamId, box))).toEqual([]);
    expect(found.some(({ severity }) => severity === 'warn')).toBe(true);
  });
});
