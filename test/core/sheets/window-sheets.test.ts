import { describe, expect, it } from 'vitest';
import { panelMarks } from '../../../core/cut/marks/panel-marks.ts';
import { windowPrint } from '../../../core/job/edits/edits.ts';
import type { Job } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { jobProduction } from '../../../core/production/job-production.ts';
import { filmTickets } from '../../../core/sheets/film-tickets.ts';
import { installMap } from '../../../core/sheets/install-map.ts';
import { LABEL_SHEETS } from '../../../core/sheets/label-sheet.ts';
import { packingList } from '../../../core/sheets/packing-list.ts';
import { panelLabels } from '../../../core/sheets/panel-labels.ts';
import { edited } from '../job/sample-job.ts';
import { bookmobileJob, sideOf, testFonts } from './fixture.ts';
import { overlappingTexts, textsOf } from './sheet-checks.ts';

const fonts = testFonts();

const bareRear = (): Job =>
  bookmobileJob({
    sides: [
      sideOf(
        'REAR',
        'Rear',
        { width: 1900, height: 2100 },
        {
          noFilmAreas: [
            {
              id: 'glass',
              name: 'Rear window',
              kind: 'window',
              clearanceMm: 20,
              rect: { xMm: 500, yMm: 300, widthMm: 900, heightMm: 600 },
            },
          ],
        },
      ),
    ],
  });
const printedRear = (): Job => edited(windowPrint(bareRear(), { sideId: 'side-rear', areaId: 'glass' }));

const text = (sheets: readonly Parameters<typeof textsOf>[0][]) =>
  sheets
    .flatMap(textsOf)
    .map((item) => item.text)
    .join(' ')
    .replaceAll(/\s+/g, ' ');

describe('sheets of printed glass', () => {
  it('the map shows the glass without hatching, with its line and its step', () => {
    const sheets = (job: Job) => installMap(job, jobLayout(job), { fonts });
    const [bare, printed] = [bareRear(), printedRear()].map(sheets);
    const hatches = (drawn: typeof bare) =>
      drawn!
        .flatMap(({ items }) => items)
        .filter((item) => item.kind === 'line' && item.tag === 'no-film-area');
    expect(hatches(bare).length).toBeGreaterThan(0);
    // Only the key of symbols has some.
    expect(hatches(printed).length).toBeLessThan(hatches(bare).length / 4);
    const lines = printed!.flatMap(({ items }) => items).filter((item) => item.tag === 'glass');
    expect(lines).toMatchObject([{ kind: 'polygon', stroke: { dashMm: [2.5, 1] } }]);
    const said = text(printed!);
    expect(said).toContain('REAR-02, on the glass of Rear window');
    expect(said).toContain('Cut the body film back to the seal first');
    expect(said).toContain('Mark a line 8 inside the seal all round');
    expect(said).toContain('image reaches 25 past the line');
    expect(said).toContain('then REAR-02 on its glass');
    expect(said).toContain('FMVSS 217');
    expect(said).toContain('No body film here');
    expect(text(bare!)).not.toMatch(/FMVSS 217|on its glass|No body film/);
    for (const sheet of printed!) expect(overlappingTexts(sheet)).toEqual([]);
  });

  it('ticket, labels, packing list and border tell of it', () => {
    const job = printedRear();
    const layouts = jobLayout(job);
    const production = jobProduction(job, layouts);
    const tickets = filmTickets(job, layouts, production, { fonts, findings: [] });
    const [a, b] = ['Film A', 'Film B'].map((title) => text(tickets.filter((t) => t.title.includes(title))));
    expect(b).toContain('REAR-02');
    expect(b).toContain('optically clear laminate alone');
    expect(a).not.toContain('REAR-02');
    expect(a).not.toContain('optically clear');
    const labels = text([...panelLabels(job, layouts, { fonts, sheet: LABEL_SHEETS['a4-2x4'] })]);
    expect(labels).toContain('REAR-02');
    expect(labels).toContain('Film B: Perforated film');
    expect(text([...packingList(job, layouts, { fonts })])).toContain('REAR-02');
    const glass = layouts[0]!.panels.find((panel) => panel.glass)!;
    const border = panelMarks(job, layouts[0]!, glass, '5f3a90c1', fonts);
    const borderOf = (of: Job) =>
      JSON.stringify(panelMarks(of, jobLayout(of)[0]!, jobLayout(of)[0]!.panels[0]!, '5f3a90c1', fonts));
    expect(borderOf(bareRear())).not.toContain('FILM');
    expect(borderOf(job)).toContain('FILM A');
    expect(JSON.stringify(border)).toContain('FILM B');
    expect(JSON.stringify(border)).toContain('GLASS · BLEED 25 mm · TRIM 8 mm OFF SEAL');
  });
});
