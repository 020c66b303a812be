import { expect, it } from 'vitest';
import type { Joint, Region } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { jobProduction } from '../../../core/production/job-production.ts';
import { productionFindings } from '../../../core/production/production-findings.ts';
import { isPrintedBothWays } from '../../../renderer/layouts/print-directions.ts';
import { smallJob } from '../../support/small-job.ts';

const lap = (id: string, atMm: number): Joint => ({
  id,
  kind: 'lap',
  atMm,
  firstMm: 15,
  secondMm: 10,
  top: 'second',
});
const lying: Region = {
  kind: 'split',
  seams: 'horizontal',
  joints: [lap('level', 640)],
  parts: [
    { kind: 'panel', id: 'upper' },
    { kind: 'panel', id: 'lower' },
  ],
};
/** A door stands upright beside a body in long panels: on a roll of 1,000 mm neither kind fits the other way. */
const mixed: Region = {
  kind: 'split',
  seams: 'vertical',
  joints: [lap('upright', 800)],
  parts: [{ kind: 'panel', id: 'door' }, lying],
};

it('a suggested layout that prints in two directions says so, as production does once it is used', () => {
  const said = [mixed, lying].map((layout) => {
    const job = smallJob({}, layout);
    const narrow = { ...job, printer: { ...job.printer, rollWidthMm: 1000 } };
    const layouts = jobLayout(narrow);
    const production = jobProduction(narrow, layouts);
    const codes = productionFindings({ job: narrow, layouts, production }).map(({ code }) => code);
    const isSaid = isPrintedBothWays(job, job.sides[0]!, { layout, rollWidthMm: 1000 });
    expect(codes.includes('roll-side-mixed-directions')).toBe(isSaid);
    return isSaid;
  });
  expect(said).toEqual([true, false]);
});
