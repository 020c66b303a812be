import { describe, expect, it } from 'vitest';
import { type JobKnown, jobFindings } from '../../../core/checks/findings/job-findings.ts';
import { findingKey } from '../../../core/findings/finding.ts';
import { jobClean } from '../findings/sample-findings.ts';
import { derived, FILM, known, LAMINATE, NAMED, opened } from './production-jobs.ts';

const codesOf = (of: JobKnown): string[] => jobFindings(of).map(({ code }) => code);

describe('the findings of a job as one list', () => {
  it('hold the kinds that a job names against each other, opened for production or not (common practice, no source)', () => {
    const job = jobClean({}, { laminate: NAMED });
    expect(codesOf(known(jobClean({}, { laminate: { ...NAMED, kind: 'cast' } })))).toEqual([]);
    for (const of of [known(job), known(opened(job)), derived(opened(job))]) {
      expect(jobFindings(of).filter(({ code }) => code === 'pair-calendered-on-cast')).toMatchObject([
        { severity: 'stop' },
      ]);
    }
    const override = { code: 'pair-calendered-on-cast', by: 'Ada', note: 'Flat panels.' } as const;
    const found = jobFindings(known(opened(job, { overrides: [override] }))).find(
      ({ code }) => code === 'pair-calendered-on-cast',
    );
    expect(found?.severity).toBe('note');
    expect(found?.message).toContain('Overridden by Ada: Flat panels.');
  });

  it('FND6 lose only the rolls and the clock where production is not derived yet', () => {
    const job = opened(jobClean({ bleed: { top: 40, right: 0, bottom: 70, left: 50 } }), {
      film: FILM,
      laminate: LAMINATE,
      promisedYears: 9,
      rolls: [
        {
          id: 'r1',
          label: 'Rest of a roll',
          widthMm: 1560,
          leftMarginMm: 10,
          rightMarginMm: 10,
          usableLengthMm: 3100,
          leadInMm: 200,
          tailMm: 200,
        },
      ],
      printStart: '2026-03-09T07:30',
      promised: '2026-03-10T08:00',
    });
    const [before, after] = [codesOf(known(job)), codesOf(derived(job))];
    expect(before).toContain('bleed-none');
    expect(before).toContain('pair-calendered-on-cast');
    expect(before).not.toContain('dry-promised-too-early');
    // One direction for the side cannot be had on this film, wherever its panels are laid.
    expect(before).toContain('roll-side-mixed-directions');
    expect(after).toEqual(expect.arrayContaining(before));
    expect(after).toContain('dry-promised-too-early');
    expect(after).toContain('roll-nothing-left');
  });

  it('FND6 look at ink once it is known, and at rolls only of a job that was opened for production', () => {
    const read = known(opened(jobClean()));
    const panel = read.layouts[0]!.panels[0]!;
    const measured = {
      panels: [
        {
          panelId: panel.id,
          label: panel.label,
          meanPercent: 170,
          worstPercent: 390,
          worstAt: { xMm: 31, yMm: 17 },
          windowMm2: 15.05,
        },
      ],
      unmeasured: [],
    };
    expect(codesOf(read)).toEqual(['roll-side-mixed-directions']);
    expect(jobFindings({ ...read, measured })).toMatchObject([
      { code: 'roll-side-mixed-directions' },
      { code: 'coverage-over-limit', where: { sideId: 's1', panelId: panel.id } },
    ]);
    expect(codesOf({ ...known(jobClean()), measured })).toEqual([]);
  });

  it('speak of panels by the ids of the job, whichever roll they lie on', () => {
    const { production: settings, ...job } = opened(jobClean());
    const [first, second] = derived(opened(job)).layouts[0]!.panels;
    const place = (panel: { id: string }, yMm: number) => ({
      panelId: `${job.id}/${panel.id}`,
      rollId: 'roll-1',
      xMm: 10,
      yMm,
      turned: false,
    });
    const locked = [place(first!, 211), place(second!, 307)];
    const found = jobFindings(derived(opened(job, { ...settings, locked })));
    expect(found.map(findingKey)).toContain(`roll-overlap/s1/${second!.id}//${first!.id}//roll-1`);
  });
});
