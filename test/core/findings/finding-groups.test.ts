import { describe, expect, it } from 'vitest';
import { type Finding, finding, findingKey } from '../../../core/findings/finding.ts';
import { blockingText, findingGroups, findingHome } from '../../../core/findings/layout/finding-groups.ts';
import { acknowledgementOf, findingsBlock } from '../../../core/findings/layout/findings.ts';
import { findingsAcknowledge, findingsUnacknowledge } from '../../../core/job/edits/edits.ts';
import type { Job } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { edited, PAGES_SAMPLE, sideSample } from '../job/sample-job.ts';
import { findingsOf, jobClean } from './sample-findings.ts';

const flap = (id: string, name: string, xMm: number): Job['sides'][number]['noFilmAreas'][number] => ({
  id,
  name,
  kind: 'fuel-flap',
  rect: { xMm, yMm: 300, widthMm: 120, heightMm: 140 },
  clearanceMm: 0,
});

const groupsOf = (job: Job, findings: readonly Finding[] = findingsOf(job)) =>
  findingGroups(job, jobLayout(job, PAGES_SAMPLE), findings);

describe('findings in groups', () => {
  it('equal findings are one line with the place of each', () => {
    const job = jobClean({
      noFilmAreas: [flap('o1', 'Fuel', 400), flap('o2', 'Charge', 900), flap('o3', 'Oil', 3100)],
    });
    const groups = groupsOf(job);
    expect(groups).toHaveLength(1);
    expect(groups[0]).toMatchObject({
      severity: 'note',
      title: '3 no-film areas: LH “Fuel”, LH “Charge”, LH “Oil”.',
    });
    expect(groups[0]!.findings).toHaveLength(3);
  });

  it('a single finding keeps its sentence', () => {
    const job = jobClean({ noFilmAreas: [flap('o1', 'Fuel', 400)] });
    expect(groupsOf(job)[0]!.title).toBe(findingsOf(job)[0]!.message);
  });

  const joints = [
    { id: 'j1', atMm: 1290 },
    { id: 'j2', atMm: 2710 },
  ].map((joint) => ({ ...joint, kind: 'lap' as const, firstMm: 4, secondMm: 1, top: 'first' as const }));
  const narrow = jobClean({
    layout: {
      kind: 'split',
      seams: 'vertical',
      joints,
      parts: ['p1', 'p2', 'p3'].map((id) => ({ kind: 'panel', id })),
    },
  });

  it('equal warnings are acknowledged together in one step, each under its own key, with a name', () => {
    const open = findingsOf(narrow).filter(({ code }) => code === 'lap-narrow');
    expect(open).toHaveLength(2);
    const job = edited(
      findingsAcknowledge(
        narrow,
        open.map((each) => acknowledgementOf(each, 'Ida', 'measured')),
      ),
    );
    expect(job.acknowledgements.map(({ finding: key, by }) => [key, by])).toEqual(
      open.map((each) => [findingKey(each), 'Ida']),
    );
    expect(findingsBlock(job, findingsOf(job)).filter(({ code }) => code === 'lap-narrow')).toEqual([]);
    const removed = edited(findingsUnacknowledge(job, { findings: open.map(findingKey) }));
    expect(removed.acknowledgements).toEqual([]);
  });

  it('what is acknowledged and what is open are two lines', () => {
    const [first] = findingsOf(narrow).filter(({ code }) => code === 'lap-narrow');
    const job = edited(findingsAcknowledge(narrow, [acknowledgementOf(first!, 'Ida', '')]));
    const laps = groupsOf(job).filter(({ findings }) => findings[0]!.code === 'lap-narrow');
    expect(laps.map(({ isAcknowledged }) => isAcknowledged)).toEqual([true, false]);
  });

  it('findings without a name for many are told in full', () => {
    const two = [1, 2].map((page) => finding('page-x', 'note', { page }, `Page ${page} is odd.`, 'Look.'));
    expect(groupsOf(jobClean(), two)[0]!.title).toBe('Page 1 is odd. Page 2 is odd.');
  });

  it('what holds up the output is told in one line', () => {
    const of = (code: string, message: string) => finding(code, 'stop', {}, message, 'Remedy.');
    expect(
      blockingText([
        of('panel-too-wide', 'a'),
        of('panel-too-wide', 'b'),
        of('artwork-none', 'The job has no artwork yet.'),
      ]),
    ).toBe('2 panels too wide for the roll, The job has no artwork yet');
  });

  it.each([
    ['panel-too-wide', 'bench'],
    ['seam-through-lettering', 'bench'],
    ['roll-overlap', 'production'],
    ['pair-calendered-on-cast', 'production'],
    ['dry-promised-too-early', 'production'],
    ['coverage-over-limit', 'production'],
    ['page-beyond-pdf-limit', 'output'],
  ] as const)('%s is mended on the %s screen', (code, home) => {
    expect(findingHome({ code })).toBe(home);
  });

  it('names sides, panels and seams by what people see', () => {
    const job = jobClean({ ...sideSample() });
    const at = (where: Finding['where']) => finding('lap-narrow', 'warn', where, 'm', 'r');
    const title = groupsOf(job, [at({ sideId: 's1', seamId: 'j1' }), at({ sideId: 's1', panelId: 'p2' })])[0]!
      .title;
    expect(title).toMatch(/^2 overlap seams under the least overlap: LH seam at 1290 mm, LH-0\d\.$/);
  });
});
