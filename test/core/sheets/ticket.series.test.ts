import { describe, expect, it } from 'vitest';
import { jobFindings } from '../../../core/checks/findings/job-findings.ts';
import { type Finding, finding, withFigure } from '../../../core/findings/finding.ts';
import { findingGroups } from '../../../core/findings/layout/finding-groups.ts';
import { acknowledgementOf } from '../../../core/findings/layout/findings.ts';
import type { Job } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import type { ManifestPanel } from '../../../core/output/manifest.ts';
import { jobOfReprint, layoutsAsWritten, layoutsOfPanels } from '../../../core/output/reprint-layouts.ts';
import { type JobProduction, jobProduction } from '../../../core/production/job-production.ts';
import { jobStrips } from '../../../core/production/job-strips.ts';
import { productionFindings } from '../../../core/production/production-findings.ts';
import { packingList } from '../../../core/sheets/packing-list.ts';
import { SHEET_SIZES } from '../../../core/sheets/sheet-size.ts';
import { ticket } from '../../../core/sheets/ticket.ts';
import { DEFAULT_ARTWORK_LIMITS } from '../../../core/shop/artwork-limits.ts';
import { ESTIMATED_COST_CARD } from '../../../core/shop/cost-card.ts';
import { bookmobileJob, TRIED_SIZES, testFonts, trailerJob } from './fixture.ts';
import { expectTidySheet, textsOf } from './sheet-checks.ts';
import {
  printRowsOf,
  reduced,
  tableRows,
  ticketOf,
  ticketOfPanels,
  withProduction,
  words,
} from './tickets.ts';

const fonts = testFonts();

describe('ticket', () => {
  for (const sheet of TRIED_SIZES) {
    for (const [name, job] of Object.entries({
      'two sides': bookmobileJob(),
      'one panel': trailerJob(1),
      '60 drops in inches': trailerJob(60, { displayUnit: 'in' }),
      'long names': bookmobileJob({
        name: 'Bookmobile of the county '.repeat(60),
        customer: 'א'.repeat(900),
      }),
    })) {
      it(`keeps texts of ticket and packing list apart: ${name} on ${sheet}`, () => {
        const full = withProduction(job);
        const sheets = [...ticketOf(full, sheet), ...packingList(full, jobLayout(full), { fonts, sheet })];
        for (const page of sheets) expectTidySheet(page, SHEET_SIZES[sheet].marginMm);
      });
    }
  }

  it('plans a reprint anew: no place on the roll, print start or promise of the first run', () => {
    const job = withProduction(bookmobileJob());
    const locked = [{ panelId: `${job.id}/rear-2`, rollId: 'roll-1', xMm: 12, yMm: 21_000, turned: true }];
    const first: Job = {
      ...job,
      production: { ...job.production!, locked, promised: '2026-12-03T09:00' },
    };
    const only = layoutsOfPanels(jobLayout(first), ['rear-2']);
    expect(jobProduction(first, only).plan.placements[0]!.yMm).toBe(21_000);
    const reprint = jobOfReprint(first);
    const again = jobProduction(reprint, only);
    expect(again.plan.placements[0]!.yMm).toBe(200);
    expect(again.clock).toBeUndefined();
    expect(productionFindings({ job: reprint, layouts: only, production: again })).toEqual([]);
  });

  it('gives a reprint the sizes that its manifest names', () => {
    const [layout, ...others] = jobLayout(bookmobileJob());
    const panel = layout!.panels[1]!;
    const stored = (x: number) => ({ xMm: x, yMm: x + 1, widthMm: x + 2, heightMm: x + 3 });
    const written = {
      panelId: panel.id,
      finishedBox: stored(100),
      printedBox: stored(200),
      filmBox: stored(300),
    };
    const [asWritten, ...rest] = layoutsAsWritten([layout!, ...others], [written as ManifestPanel]);
    expect(asWritten!.panels[1]!.film).toEqual({ x: 300, y: 301, width: 302, height: 303 });
    expect(asWritten!.panels[1]!.printed).toEqual({ x: 200, y: 201, width: 202, height: 203 });
    expect(asWritten!.panels[1]!.net).toEqual({ x: 100, y: 101, width: 102, height: 103 });
    expect(asWritten!.panels[0]).toEqual(layout!.panels[0]);
    expect(rest).toEqual(others);
  });

  it('TK1 states the factor for the RIP largest and in white on black', () => {
    const [page] = ticketOf(withProduction(reduced(bookmobileJob(), 10)));
    const factor = textsOf(page!).find(({ text }) => text === 'ENLARGE ×10 IN THE RIP')!;
    expect(factor.black).toBe(0);
    const sizes = textsOf(page!).filter(({ tag }) => !tag.startsWith('head'));
    expect(Math.max(...sizes.map(({ sizeMm }) => sizeMm))).toBe(factor.sizeMm);
    const ground = page!.items.find(({ tag, kind }) => tag === factor.tag && kind === 'rect');
    expect(ground?.kind === 'rect' && ground.fill?.black).toBe(1);
    expect(words(ticketOf(withProduction(bookmobileJob())))).toContain('PRINT AT 100 %');
  });

  it('says who scales what, and counts drying from a time that is written in by hand', () => {
    const job = withProduction(bookmobileJob());
    const fed = { ...job, printer: { ...job.printer, feedErrorPercent: 0.4 } };
    const band = (of: Job) =>
      ticketOf(of)
        .flatMap(textsOf)
        .filter(({ tag }) => tag.startsWith('band'))
        .map(({ text }) => text);
    // Prints come out 0.4 % long, so the file is sent 0.4 % short: 100 ÷ 1.004.
    expect(band(fed)).toEqual(expect.arrayContaining(['RIP scale, across × along', '100 × 99.60 %']));
    expect(band(job)).toEqual(expect.arrayContaining(['Last panel off printer']));
    const wet = band({
      ...job,
      production: { ...job.production!, worstCoveragePercent: 240, ink: 'eco-solvent' },
    });
    expect(wet).toContain('+ 48 h');
    const cured = band({ ...job, production: { ...job.production!, ink: 'uv-cured' } });
    expect(cured).toContain('+ 2 h');
  });

  it('gives the longest panel to be measured tick to tick, and cautions for the work of the floor', () => {
    const text = words(ticketOf(withProduction(bookmobileJob())));
    // Roof and skirt are the longest: 7,200 less the cab door of 1,310. The skirt is installed first.
    expect(text).toContain('tick to tick over the longest panel LH-01: 5890 mm');
    expect(text).toContain('two people, a trolley or a hoist');
    expect(text).toContain('no loose sleeves');
    expect(text).toContain('no flame or spark');
  });

  it('TK14 tells the operator who makes up for the feed, what the artwork asks of the RIP and what the panels reach', () => {
    const job = withProduction(
      bookmobileJob({ artworkLimits: { ...DEFAULT_ARTWORK_LIMITS, maxInkPercent: 300 } }),
    );
    job.production!.worstCoveragePercent = 310;
    const layouts = jobLayout(job);
    const production = jobProduction(job, layouts);
    const facts = {
      outputIntents: ['Coated wide format 2'],
      spots: Array.from({ length: 14 }, (_, i) => ({
        name: `Shop red ${i + 1}`,
        alternates: ['DeviceCMYK'],
      })),
      overprints: true,
    };
    const heavy = withFigure(
      310,
      finding('ink-heavy', 'warn', {}, 'A color asks for 310 % ink.', 'Hold it.'),
    );
    const others = Array.from({ length: 15 }, (_, i) =>
      finding(`note-${i}`, 'note', {}, `Note number ${i + 1}.`, 'Look.'),
    );
    const text = words(
      ticket(job, layouts, production, {
        fonts,
        sheet: 'A3',
        findings: [...others, heavy],
        operator: { facts },
      }),
    );
    expect(text).toContain(
      'RIP scale 100 % across, 99.80 % along: by the RIP alone, not by the printer as well.',
    );
    expect(text).toContain('Coated wide format 2');
    for (const { name } of facts.spots) expect(text).toContain(`${name}, else DeviceCMYK`);
    expect(text).toContain('the artwork overprints: the RIP must do so, too');
    expect(text).toMatch(/artwork 300 %, panels reach about 310 %: OVER THE LIMIT/);
    expect(text).toMatch(/ACL-2611_[A-Z]+-\d+\.pdf and 7 more/);
    // However many notes there are: none is left out.
    expect(text).toContain('A color asks for 310 % ink.');
    for (let i = 1; i <= 15; i += 1) expect(text).toContain(`Note number ${i}.`);
  });

  it('has estimates, cost and packing only where the shop wants them on the floor', () => {
    const bare = { ...withProduction(bookmobileJob()), sheets: {} };
    expect(words(ticketOf(bare))).not.toMatch(/Estimates|about|Together 8 panels/);
    const withCost = { ...bare, sheets: { ticket: { cost: true } } };
    expect(words(ticketOf(withCost))).toMatch(/Cost|cost/);
    expect(words(ticketOf(withCost))).not.toContain('Together 8 panels');
    const withPacking = { ...bare, sheets: { ticket: { packing: true } } };
    expect(words(ticketOf(withPacking))).toContain('Together 8 panels');
    // Each kind of sheet may have paper of its own.
    const layouts = jobLayout(bare);
    const paper = { ...bare, sheets: { sizes: { ticket: 'Letter', 'packing-list': 'A4' } } } as const;
    const options = { fonts, findings: [] };
    expect(ticket(paper, layouts, jobProduction(paper, layouts), options)[0]!.widthMm).toBe(279.4);
    expect(packingList(paper, layouts, { fonts })[0]!.widthMm).toBe(297);
  });

  it('warns of a color shift where some panels are printed turned', () => {
    const job = withProduction(bookmobileJob());
    const layouts = jobLayout(job);
    const production = jobProduction(job, layouts);
    const turnedOf = (isTurned: (index: number) => boolean) => ({
      ...production,
      plan: {
        ...production.plan,
        placements: production.plan.placements.map((place, index) => ({ ...place, turned: isTurned(index) })),
      },
    });
    const textOf = (of: JobProduction) =>
      words(ticket(job, layouts, of, { fonts, sheet: 'A3', findings: [] }));
    const id = production.plan.placements[2]!.panelId.split('/').at(-1)!;
    const { label } = layouts.flatMap(({ panels }) => panels).find((panel) => panel.id === id)!;
    expect(textOf(turnedOf((index) => index === 2))).toContain(`${label} is printed turned: color can shift`);
    for (const all of [true, false]) expect(textOf(turnedOf(() => all))).not.toContain('printed turned');
  });

  it('shows on a reprint what the operator entered of the first output, beside blanks', () => {
    const job = withProduction(bookmobileJob());
    const layouts = layoutsOfPanels(jobLayout(job), ['skirt']);
    const operator = {
      first: { mediaProfile: 'Cast matte 6 pass', filmLot: 'F-2291 roll 3', inkLot: 'K 77' },
    };
    const output = { number: 9, reprint: { of: 4, reason: 'torn', date: '2026-12-01' } };
    const text = words(
      ticket(job, layouts, jobProduction(job, layouts), {
        fonts,
        sheet: 'A3',
        findings: [],
        operator,
        output,
      }),
    );
    for (const entered of ['Cast matte 6 pass', 'F-2291 roll 3', 'K 77', 'Output 4', 'Set now'])
      expect(text).toContain(entered);
  });

  it('lists panels in print order with start and sent length, longer by the feed compensation', () => {
    const job = withProduction(trailerJob(5));
    const layouts = jobLayout(job);
    const production = jobProduction(job, layouts);
    const rows = printRowsOf(ticketOf(job));
    expect(rows.map(([label]) => label)).toEqual(
      production.plan.placements.map(({ panelId }) => {
        const id = panelId.split('/').at(-1);
        return layouts[0]!.panels.find((panel) => panel.id === id)!.label;
      }),
    );
    // The printer lays 0.2 % too much, so 2,290 mm are sent as 2,290 ÷ 1.002 = 2,285 mm.
    const first = rows[0]!;
    expect(first).toEqual(['TL-01', '1388 × 2290', '1', '0.20 m', '2285']);
    expect(words(ticketOf(job))).toContain('100 × 99.80 %');
  });

  it('lists a panel that found no place last, and says so', () => {
    const job = withProduction(bookmobileJob());
    const { plan } = jobProduction(job, jobLayout(job));
    const rows = printRowsOf(ticketOf(job));
    expect(rows).toHaveLength(8);
    const unplaced = rows.filter((row) => row.includes('no room'));
    expect(unplaced).toHaveLength(plan.unplacedPanelIds.length);
    expect(rows.slice(rows.length - unplaced.length)).toEqual(unplaced);
  });

  it('shows every warning with who accepted it and why', () => {
    const finding = (code: string): Finding => ({
      code,
      severity: 'warn',
      where: { sideId: 'side-lh' },
      message: `Message of ${code}.`,
      remedy: 'Remedy.',
    });
    const job = withProduction(trailerJob(3));
    const accepted = acknowledgementOf(finding('kept'), 'M. Lind', 'customer knows');
    const text = words(
      ticketOf({ ...job, acknowledgements: [accepted] }, 'A3', [finding('kept'), finding('open')]),
    );
    expect(text).toContain('Message of kept. Acknowledged by M. Lind: customer knows.');
    expect(text).toContain('Message of open. NOT ACKNOWLEDGED YET.');
  });

  it('drops no note, however many there are', () => {
    const notes = Array.from(
      { length: 45 },
      (_, index): Finding => ({
        code: `note-${index}`,
        severity: 'note',
        where: { sideId: 'side-lh' },
        message: `The ink of note ${index} reaches ${300 + index} %.`,
        remedy: 'Remedy.',
      }),
    );
    for (const paper of ['A3', 'Letter'] as const) {
      const text = words(ticketOf(withProduction(trailerJob(3)), paper, notes));
      for (const { message } of notes) expect(text.replaceAll(/\s+/g, ' ')).toContain(message);
    }
  });

  it('says once what both the layout and the rolls find', () => {
    const of = withProduction(bookmobileJob());
    const job = { ...of, printer: { ...of.printer, rollWidthMm: 700 } };
    const layouts = jobLayout(job);
    const production = jobProduction(job, layouts);
    const findings = jobFindings({ job, layouts, production });
    expect(findings.map(({ code }) => code)).toContain('roll-panel-too-wide');
    const text = words(ticket(job, layouts, production, { fonts, sheet: 'A3', findings }));
    for (const { severity, title } of findingGroups(job, layouts, findings)) {
      if (severity !== 'note') expect(text.split(title.slice(0, 40))).toHaveLength(2);
    }
  });

  it('shows the coverage of each panel and of the job, and that the file says so, or that somebody did', () => {
    const job = withProduction(trailerJob(2));
    const layouts = jobLayout(job);
    const panels = layouts[0]!.panels.map(({ id, label }, index) => ({
      panelId: id,
      label,
      meanPercent: 120 + index,
      worstPercent: 230 - index,
      worstAt: { xMm: 0, yMm: 0 },
      windowMm2: 15.05,
    }));
    const made = (of: Job) =>
      ticketOfPanels(of, layouts, { measured: { panels, unmeasured: [] }, sheet: 'A3' });
    const byPanel = printRowsOf(made(job)).map((row) => [row[0], row.at(-1)]);
    expect(byPanel.toSorted()).toEqual([
      ['TL-01', '120 / 230 %'],
      ['TL-02', '121 / 229 %'],
    ]);
    const said = words(made(job));
    expect(said).toContain('worst about 230 %, mean about 12');
    expect(said.replaceAll('\n', ' ')).toContain('computed from the file, not from the press');
    const entered = { ...job, production: { ...job.production!, worstCoveragePercent: 260 } };
    expect(words(made(entered))).toContain('worst as entered');
  });

  it('gives an inch job its estimates in feet', () => {
    const job: Job = { ...withProduction(trailerJob(3)), displayUnit: 'in' };
    const rows = tableRows(ticketOf(job), 'Estimates').flat().join(' ');
    expect(rows).not.toMatch(/ m²| m\b| m\/h/);
    const { film } = jobProduction(job, jobLayout(job)).estimates;
    // A foot is 0.3048 m (International Yard and Pound Agreement 1959).
    expect(rows).toContain(`about ${Math.round(film.value / 0.3048 ** 2)} ft²`);
    expect(words(ticketOf(job))).toContain('about 20 in');
  });

  it('STR7 lists the strips of a job that is printed strip by strip, with what lies on each', () => {
    const job = withProduction(trailerJob(5));
    const striped: Job = { ...job, output: { ...job.output, files: 'strips' } };
    const rows = tableRows(ticketOf(striped), 'Print these strips').filter(([file]) =>
      file!.endsWith('.pdf'),
    );
    const labels = rows.flatMap((row) => row.at(-1)!.split(', '));
    expect(labels).toEqual(printRowsOf(ticketOf(job)).map(([label]) => label));
    const strips = jobStrips(striped, jobProduction(striped, jobLayout(striped)));
    expect(rows.map(([file]) => file)).toEqual(strips.map(({ fileName }) => fileName));
    expect(words(ticketOf(striped))).toContain('Size of the strip files');
    expect(words(ticketOf(job))).not.toContain('strip');
  });

  it('marks estimates with what they come from, and gives no figure for what is not known', () => {
    const rows = tableRows(ticketOf(withProduction(trailerJob(3))), 'Estimates').filter(
      (cells) => cells.length > 1 && cells[0] !== 'What',
    );
    const row = (name: string) => rows.find(([head]) => head === name)!;
    expect(row('Trimming')).toEqual(['Trimming', 'about 12 min', 'Panels 3, Per panel 4 min']);
    expect(row('Ink')).toEqual(['Ink', 'not known', 'coverage has not been measured']);
    // Three panels of 2 m are too wide for the roll: no film is used.
    expect(row('Cost').join(' ')).not.toContain('Film');
    const costOf = (job: Job) =>
      tableRows(ticketOf(withProduction(job)), 'Estimates')
        .find(([head]) => head === 'Cost')!
        .join(' ');
    const costCard = { ...ESTIMATED_COST_CARD, isEstimate: false, filmPerSquareMeter: 0 };
    expect(costOf(trailerJob(5))).toMatch(/Film \(estimated price\) \d+ EUR/);
    expect(costOf({ ...trailerJob(5), costCard })).toContain('Film (cost card) without a price');
    for (const [name, value] of rows) {
      if (name !== 'Ink') expect(value).toMatch(/^about /);
    }
  });

  it('makes a ticket and a packing list of reprinted panels alone, with their own numbers', () => {
    const job = withProduction(bookmobileJob());
    const only = layoutsOfPanels(jobLayout(job), ['mid-rear', 'rear-2']);
    const sheets = ticketOfPanels(job, only);
    expect(
      printRowsOf(sheets)
        .map(([label]) => label)
        .toSorted(),
    ).toEqual(['LH-02', 'RR-02']);
    expect(sheets[0]!.title).toBe('Ticket · ACL-2611 · 2 panels');
    const packed = words(packingList(job, only, { fonts }));
    expect(packed).toContain('LH-02');
    expect(packed).not.toContain('LH-03');
  });

  it('names every panel once on the packing list, with two boxes to tick', () => {
    const job = bookmobileJob();
    const sheets = packingList(job, jobLayout(job), { fonts, sheet: 'A4' });
    const labels = jobLayout(job).flatMap(({ panels }) => panels.map(({ label }) => label));
    const texts = sheets
      .flatMap(textsOf)
      .filter(({ tag }) => !tag.startsWith('table Tubes'))
      .map(({ text }) => text);
    for (const label of labels) expect(texts.filter((text) => text === label)).toHaveLength(1);
    const boxes = sheets
      .flatMap(({ items }) => items)
      .filter(({ tag, kind }) => kind === 'rect' && /^table (?:LH|RR)/.test(tag));
    expect(boxes).toHaveLength(2 * labels.length);
  });
});
