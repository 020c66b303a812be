import { describe, expect, it } from 'vitest';
import type { Job } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { jobProduction } from '../../../core/production/job-production.ts';
import { sharedRolls } from '../../../core/production/shared-rolls.ts';
import { rollPlanCheck } from '../../../core/rolls/roll-check.ts';
import { sharedRollPlan } from '../../../core/sheets/shared-roll-plan.ts';
import { SHEET_SIZES } from '../../../core/sheets/sheet-size.ts';
import { DEFAULT_PRODUCTION } from '../../../core/shop/production-settings.ts';
import { smallJob } from '../../support/small-job.ts';
import { testFonts } from '../sheets/fixture.ts';
import { expectTidySheet, textsOf } from '../sheets/sheet-checks.ts';

/** Two narrow drops a side: beside those of another job they fill the film. */
function narrowJob(id: string, number: string, over: Partial<Job> = {}): Job {
  const job = smallJob({ id, number, ...over });
  const side = { ...job.sides[0]!, artworkRect: { xMm: 5, yMm: 5, widthMm: 100, heightMm: 130 } };
  const layout = {
    kind: 'run' as const,
    seams: 'vertical' as const,
    joints: [
      { id: 's1', kind: 'lap' as const, atMm: 470, firstMm: 15, secondMm: 10, top: 'second' as const },
    ],
    parts: [
      { kind: 'panel' as const, id: 'p1' },
      { kind: 'panel' as const, id: 'p2' },
    ],
  };
  return { ...job, sides: [{ ...side, layout }] };
}

const onFilm = (...jobs: Job[]) => sharedRolls(jobs.map((job) => ({ job, layouts: jobLayout(job) })));

describe('several jobs on one film', () => {
  it('RL18 lays them together, tells their panels apart, and uses less film than one after the other', () => {
    const jobs = [narrowJob('a', 'A-1'), narrowJob('b', 'B-2')];
    const shared = onFilm(...jobs);
    if (!shared.ok) throw new Error(shared.problem.message);
    const { items, rolls, rules, plan } = shared.value;
    expect(items.map(({ label }) => label).toSorted()).toEqual([
      'A-1 LH-01',
      'A-1 LH-02',
      'B-2 LH-01',
      'B-2 LH-02',
    ]);
    expect(plan.unplacedPanelIds).toEqual([]);
    // The check looks at any plan by itself: overlaps, margins, gaps, straight cuts, sides kept together.
    const { findings } = rollPlanCheck(items, rolls, rules, plan.placements);
    expect(findings.filter(({ severity }) => severity !== 'note')).toEqual([]);
    const alone = jobs.map((job) => jobProduction(job, jobLayout(job)).plan.filmUsedMm);
    expect(plan.filmUsedMm).toBeLessThan(alone[0]! + alone[1]!);
    const sides = Map.groupBy(plan.placements, ({ panelId }) => panelId.split('/')[0]);
    for (const places of sides.values()) expect(new Set(places.map(({ rollId }) => rollId)).size).toBe(1);
  });

  it('RL18 refuses jobs on other film, on other widths, and a job named twice', () => {
    const job = narrowJob('a', 'A-1');
    const other = narrowJob('b', 'B-2', { film: { ...job.film, name: 'Another film' } });
    expect(onFilm(job, other)).toMatchObject({
      ok: false,
      problem: { code: 'rolls-film-differs', message: expect.stringContaining('job B-2 on Another film') },
    });
    const wide = narrowJob('b', 'B-2', {
      printer: { ...job.printer, rollWidthMm: job.printer.rollWidthMm + 80 },
    });
    expect(onFilm(job, wide)).toMatchObject({ problem: { code: 'rolls-film-differs' } });
    expect(onFilm(job, { ...job, number: 'A-1 again' })).toMatchObject({
      problem: { code: 'rolls-job-twice' },
    });
    expect(onFilm()).toMatchObject({ problem: { code: 'rolls-no-job' } });
  });

  it('RL18 forgets where panels were locked for one job alone', () => {
    const locked = [{ panelId: 'a/p1', rollId: 'roll-1', xMm: 10, yMm: 9000, turned: false }];
    const job = narrowJob('a', 'A-1', { production: { ...DEFAULT_PRODUCTION, locked } });
    const shared = onFilm(job, narrowJob('b', 'B-2'));
    expect(shared.ok && shared.value.plan.filmUsedMm).toBeLessThan(9000);
  });

  it('SH1 the sheet of a shared plan names every panel with its job, and keeps texts apart', () => {
    const jobs = [narrowJob('a', 'A-1'), narrowJob('b', 'B-2')] as const;
    const shared = onFilm(...jobs);
    if (!shared.ok) throw new Error(shared.problem.message);
    for (const sheet of ['A4', 'A3', 'Letter', 'Tabloid'] as const) {
      const first: Job = { ...jobs[0], output: { ...jobs[0].output, mapSheet: sheet } };
      const sheets = sharedRollPlan([first, jobs[1]], shared.value, testFonts());
      for (const each of sheets) expectTidySheet(each, SHEET_SIZES[sheet].marginMm);
      const texts = sheets.flatMap(textsOf).map(({ text }) => text);
      for (const { label } of shared.value.items)
        expect(texts.filter((text) => text === label).length).toBe(2);
    }
  });
});
