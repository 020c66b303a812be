import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PDFDocument, PDFHexString } from 'pdf-lib';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { jobToJson } from '../../../core/job/job-json.ts';
import { regionPanels } from '../../../core/job/region.ts';
import type { Job, Region } from '../../../core/job/schema.ts';
import { EXIT } from '../../../main/command/exit-code.ts';
import { commandLine } from '../../support/command-line.ts';
import { smallJob } from '../../support/small-job.ts';

let folder: string;
const at = (name: string) => join(folder, name);

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-rolls-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

async function rolls(jobs: readonly Job[], ...more: string[]) {
  const paths = jobs.map((job, index) => {
    const path = at(`${index}.json`);
    writeFileSync(path, jobToJson(job));
    return path;
  });
  return await commandLine(['--archive', at('archive'), 'rolls', ...paths, ...more]);
}

describe('rolls on the command line', () => {
  const job = smallJob();
  const other = smallJob({ id: 'other', number: 'OT-8' });

  it('RL18 lays several jobs on one film, says what lies where, and writes the plan', async () => {
    const ran = await rolls([job, other], '--to', at('plan.pdf'));
    expect(ran.err).toBe('');
    expect(ran.code).toBe(EXIT.done);
    for (const label of ['SJ-7 LH-01', 'SJ-7 LH-02', 'OT-8 LH-01', 'OT-8 LH-02']) {
      expect(ran.out).toContain(label);
    }
    const plan = await PDFDocument.load(readFileSync(at('plan.pdf')));
    expect(plan.getTitle()).toBe('Nesting sheet SJ-7');
    expect((await rolls([job], '--to', at('plan.pdf'))).code).toBe(EXIT.done);
    // As another program saves it: never in the place of that.
    plan.setTitle('theirs');
    plan.context.trailerInfo.ID = plan.context.obj([PDFHexString.of('00'), PDFHexString.of('01')]);
    writeFileSync(at('plan.pdf'), await plan.save());
    expect((await rolls([job, other], '--to', at('plan.pdf'))).code).toBe(EXIT.files);
    expect((await PDFDocument.load(readFileSync(at('plan.pdf')))).getTitle()).toBe('theirs');
  });

  it('RL18 nests each film that the jobs have in common, and writes all of them on one sheet', async () => {
    const both = [job, other].map((each): Job => {
      const { film, printer } = each;
      const flat = { ...film, name: 'Roadway 75', kind: 'calendered-polymeric' as const };
      const onFlat = { ...each, otherFilms: [{ id: 'f2', film: flat, printer }] };
      const layout = JSON.parse(JSON.stringify(each.sides[0]?.layout)) as Region;
      const panel = regionPanels(layout).at(-1);
      if (panel) panel.filmId = 'f2';
      return { ...onFlat, sides: each.sides.map((side) => ({ ...side, layout })) };
    });
    const ran = await rolls(both, '--to', at('plan.pdf'));
    expect(ran.err).toBe('');
    expect(ran.out).toMatch(/^Roadway 75, full roll 1: .*SJ-7 LH-0\d, OT-8 LH-0\d/m);
    // One page for each film.
    expect((await PDFDocument.load(readFileSync(at('plan.pdf')))).getPageCount()).toBe(2);
    expect((await rolls([job, other], '--to', at('one.pdf'))).code).toBe(EXIT.done);
    expect((await PDFDocument.load(readFileSync(at('one.pdf')))).getPageCount()).toBe(1);
  });

  it('RL18 refuses jobs on different film in one sentence', async () => {
    const ran = await rolls([job, { ...other, film: { ...other.film, kind: 'calendered-polymeric' } }]);
    expect(ran.code).not.toBe(EXIT.done);
    expect(ran.err.trim().split('\n')).toHaveLength(1);
  });
});
