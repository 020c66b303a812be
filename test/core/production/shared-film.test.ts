import { describe, expect, it } from 'vitest';
import { filmGroups, filmsApart } from '../../../core/production/shared-film.ts';
import { narrowJob } from '../../support/narrow-job.ts';

const base = narrowJob('a', 'A-1');
const printer = (over: Partial<typeof base.printer>) => ({ printer: { ...base.printer, ...over } });

describe('which jobs share film', () => {
  it('groups jobs by film and printer, in the order given, whatever the case of the names', () => {
    const jobs = [
      base,
      narrowJob('b', 'B-2', { film: { ...base.film, name: 'Window film' } }),
      narrowJob('c', 'C-3', { film: { ...base.film, name: ` ${base.film.name.toUpperCase()}` } }),
      narrowJob('d', 'D-4', { film: { ...base.film, name: 'window film' } }),
    ];
    expect(filmGroups(jobs).map(({ numbers }) => numbers)).toEqual([
      ['A-1', 'C-3'],
      ['B-2', 'D-4'],
    ]);
    expect(filmGroups(jobs)[1]).toMatchObject({
      jobIds: ['b', 'd'],
      film: `Window film, 1524 mm wide, ${base.printer.name}`,
    });
    expect(filmsApart(jobs)).toEqual([
      `Jobs B-2 and D-4 cannot share rolls with A-1 and C-3: film Window film instead of ${base.film.name}.`,
    ]);
    expect(filmsApart([base, jobs[2]!])).toEqual([]);
    expect(filmGroups([])).toEqual([]);
  });

  it('says each thing in which a job differs, in the unit of the first', () => {
    const inches = { ...base, displayUnit: 'in' as const };
    expect(filmsApart([inches, narrowJob('b', 'B-2', printer({ rollWidthMm: 1371.6 }))])).toEqual([
      'Job B-2 cannot share rolls with A-1: roll width 54\u00a0in instead of 60\u00a0in.',
    ]);
    const other = narrowJob('c', 'C-3', {
      film: { ...base.film, kind: 'calendered-polymeric' },
      ...printer({
        name: 'Printer by the door',
        marginLeftMm: 11,
        longestPrintMm: 9000,
        feedErrorPercent: 0.3,
      }),
    });
    const [sentence] = filmsApart([base, other]);
    for (const word of [
      'kind of film calendered polymeric instead of',
      'left margin 11 mm instead of',
      'printer Printer by the door instead of',
      'longest print 9000 mm instead of',
      'feed error 0.3 % instead of 0 %',
    ]) {
      expect(sentence).toContain(word);
    }
    expect(sentence).not.toContain('right margin');
  });
});
