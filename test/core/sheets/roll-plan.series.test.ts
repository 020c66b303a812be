import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Job } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import type { Point, Rect } from '../../../core/measure/rect.ts';
import { type JobProduction, jobProduction } from '../../../core/production/job-production.ts';
import { productionFindings } from '../../../core/production/production-findings.ts';
import { cutLines } from '../../../core/rolls/print-strips.ts';
import { printOrderOf } from '../../../core/rolls/roll-use.ts';
import { type LeadOut, leadOutLevels } from '../../../core/sheets/lead-outs.ts';
import type { Sheet } from '../../../core/sheets/page-frame.ts';
import { rollRows } from '../../../core/sheets/roll-rows.ts';
import { rulerTicks } from '../../../core/sheets/roll-ruler.ts';
import { SHEET_SIZES, type SheetSizeName } from '../../../core/sheets/sheet-size.ts';
import { ticket } from '../../../core/sheets/ticket.ts';
import { DEFAULT_PRODUCTION } from '../../../core/shop/production-settings.ts';
import type { RollStock } from '../../../core/shop/rolls.ts';
import { itemBounds } from '../../support/item-bounds.ts';
import { bookmobileJob, TRIED_SIZES, testFonts, trailerJob } from './fixture.ts';
import { expectTidySheet, textsOf } from './sheet-checks.ts';

const fonts = testFonts();
const MM_PER_FOOT = 304.8; // exact, International Yard and Pound Agreement 1959

const onOneRoll = { ...DEFAULT_PRODUCTION.rules, sideOnOneRoll: true, sideInOneDirection: false };
const withProduction = (job: Job, change: Partial<typeof DEFAULT_PRODUCTION> = {}): Job => ({
  ...job,
  production: { ...DEFAULT_PRODUCTION, rules: onOneRoll, mayTurn: true, ...change },
});

interface DrawnTicket {
  readonly sheets: readonly Sheet[];
  readonly production: JobProduction;
  readonly oneTo: number;
}

function drawn(job: Job, sheet: SheetSizeName = 'A3'): DrawnTicket {
  const layouts = jobLayout(job);
  const production = jobProduction(job, layouts);
  const sheets = ticket(job, layouts, production, {
    fonts,
    sheet,
    findings: productionFindings({ job, layouts, production }),
  });
  const words = sheets.flatMap(textsOf).map(({ text }) => text);
  const oneTo = Number(words.flatMap((text) => /SCALE 1:(\d+)/.exec(text)?.[1] ?? [])[0]);
  return { sheets, production, oneTo };
}

const rects = (sheet: Sheet, tag: string): Rect[] =>
  sheet.items.flatMap((item) => (item.kind === 'rect' && item.tag === tag ? [item.rect] : []));
const holds = (outer: Rect, { x, y, width, height }: Rect): boolean =>
  x >= outer.x - 1e-6 &&
  y >= outer.y - 1e-6 &&
  x + width <= outer.x + outer.width + 1e-6 &&
  y + height <= outer.y + outer.height + 1e-6;

/** From the sheet back to the roll: film from its start, over all rows of the roll on the page. */
function filmFromSheet(rows: readonly Rect[], oneTo: number, { x, y }: Point) {
  const index = rows.findIndex((row) => holds(row, { x, y, width: 0, height: 0 }));
  const row = rows[index]!;
  const before = rows.slice(0, index).reduce((sum, { width }) => sum + width, 0);
  return { alongMm: (before + x - row.x) * oneTo, acrossMm: (row.y + row.height - y) * oneTo };
}

describe('roll plan on the ticket', () => {
  const jobs = { 'five drops': trailerJob(5), 'two sides': bookmobileJob(), 'many drops': trailerJob(23) };
  for (const [name, bare] of Object.entries(jobs)) {
    it(`draws rolls to scale and not mirrored, in rows, no panel in two of them: ${name}`, () => {
      const job = withProduction(bare);
      const { sheets, production, oneTo } = drawn(job);
      const { plan, rolls } = production;
      expect(plan.placements.length).toBeGreaterThan(0);
      for (const use of plan.uses) {
        const roll = rolls.find(({ id }) => id === use.rollId)!;
        const rows = rects(sheets[0]!, `roll ${roll.id}`);
        for (const { height } of rows) expect(height).toBeCloseTo(roll.widthMm / oneTo, 9);
        expect(rows.reduce((sum, { width }) => sum + width, 0)).toBeCloseTo(use.usedLengthMm / oneTo, 6);
        for (const { item, place, size } of printOrderOf([use])) {
          const [rect, ...others] = rects(sheets[0]!, `panel on roll ${item.label}`);
          expect(others).toEqual([]);
          expect(rows.filter((row) => holds(row, rect!))).toHaveLength(1);
          expect(rect!.width).toBeCloseTo(size.along / oneTo, 9);
          expect(rect!.height).toBeCloseTo(size.across / oneTo, 9);
          const lowerLeft = { x: rect!.x, y: rect!.y + rect!.height };
          const { alongMm, acrossMm } = filmFromSheet(rows, oneTo, lowerLeft);
          expect(alongMm).toBeCloseTo(place.yMm, 3);
          expect(acrossMm).toBeCloseTo(place.xMm, 3);
        }
      }
    });
  }

  it('breaks rows at cross cuts alone and needs no more rows than their length', () => {
    const job = withProduction(trailerJob(11));
    const { plan, rolls } = jobProduction(job, jobLayout(job));
    const [use] = plan.uses;
    const roll = rolls.find(({ id }) => id === use!.rollId)!;
    const cuts = [0, ...cutLines(use!.bands, roll.widthMm).acrossAtMm, use!.usedLengthMm];
    const longest = 7300;
    const rows = rollRows({ roll, use: use! }, longest)!;
    expect(rows.length).toBeGreaterThan(1);
    expect(rows[0]!.fromMm).toBe(0);
    expect(rows.at(-1)!.toMm).toBe(use!.usedLengthMm);
    for (const [index, row] of rows.entries()) {
      expect(cuts).toContain(row.fromMm);
      expect(cuts).toContain(row.toMm);
      expect(row.toMm - row.fromMm).toBeLessThanOrEqual(longest);
      const next = rows[index + 1];
      if (next) expect(next.fromMm).toBe(row.toMm);
      const nextCut = cuts[cuts.indexOf(row.toMm) + 1];
      if (nextCut !== undefined) expect(nextCut - row.fromMm).toBeGreaterThan(longest);
    }
    expect(rollRows({ roll, use: use! }, 900)).toBeUndefined();
  });

  it('draws every roll that carries panels, on further pages where there are many', () => {
    const roll = (index: number): RollStock => ({
      id: `rest-${index}`,
      label: `Rest of a roll, shelf ${index}`,
      widthMm: 1524,
      leftMarginMm: 10,
      rightMarginMm: 10,
      usableLengthMm: 2750,
      leadInMm: 200,
      tailMm: 200,
    });
    const rules = { ...DEFAULT_PRODUCTION.rules, sideOnOneRoll: false };
    const rolls = Array.from({ length: 17 }, (_, index) => roll(index));
    const { sheets, production } = drawn(withProduction(trailerJob(16), { rolls, rules }), 'A4');
    const used = production.plan.uses.map(({ rollId }) => rollId);
    expect(used.length).toBeGreaterThan(4);
    const captions = sheets
      .flatMap(textsOf)
      .flatMap(({ tag }) => (tag.startsWith('caption ') ? [tag.slice(8)] : []));
    expect([...new Set(captions)].toSorted()).toEqual(used.toSorted());
    for (const page of sheets) expectTidySheet(page, SHEET_SIZES.A4.marginMm);
  });

  for (const sheet of TRIED_SIZES) {
    for (const [name, bare] of Object.entries({ ...jobs, '60 narrow drops': trailerJob(60) })) {
      it(`numbers every panel on the rolls once, readably: ${name} on ${sheet}`, () => {
        const { sheets, production } = drawn(withProduction(bare), sheet);
        for (const page of sheets) expectTidySheet(page, SHEET_SIZES[sheet].marginMm);
        for (const { item } of printOrderOf(production.plan.uses)) {
          const tag = `panel on roll ${item.label}`;
          const page = sheets.find((each) => rects(each, tag).length > 0)!;
          const texts = textsOf(page).filter((text) => text.tag === tag);
          expect(texts.map(({ text }) => text)).toEqual([item.label]);
          // ISO 3098 has 2.5 mm as a usual size of lettering; capitals of 2.1 mm can still be read at arm's length.
          expect(texts[0]!.sizeMm * 0.714).toBeGreaterThan(2.1);
          const [rect] = rects(page, tag);
          const isInside = holds(rect!, itemBounds({ ...texts[0]!, sizeMm: texts[0]!.sizeMm * 0.7 }));
          const leads = page.items.filter((each) => each.tag === tag && each.kind === 'line');
          expect(leads).toHaveLength(isInside ? 0 : 1);
        }
      });
    }
  }

  it('marks the top edge: to the left of an upright panel, to the upper edge of a turned one', () => {
    const { sheets, production } = drawn(withProduction(bookmobileJob()));
    const panels = printOrderOf(production.plan.uses);
    expect(new Set(panels.map(({ place }) => place.turned)).size).toBe(2);
    for (const { item, place } of panels) {
      const tag = `panel on roll ${item.label}`;
      const [rect] = rects(sheets[0]!, tag);
      const mark = sheets[0]!.items.find((each) => each.tag === `${tag} top`);
      if (mark?.kind !== 'polygon') throw new Error('no mark');
      const [tip, ...foot] = mark.points;
      // Upright panels have their top towards the start, on the left; turned ones at the right edge, above.
      if (place.turned) {
        expect(foot.every(({ y }) => y > tip!.y)).toBe(true);
        expect(tip!.y - rect!.y).toBeLessThan(1);
      } else {
        expect(foot.every(({ x }) => x > tip!.x)).toBe(true);
        expect(tip!.x - rect!.x).toBeLessThan(1);
      }
    }
  });

  it('lead-outs cover neither each other nor the line of another', () => {
    const one = fc.record({
      xMm: fc.double({ min: 0, max: 190, noNaN: true }),
      widthMm: fc.double({ min: 2, max: 40, noNaN: true }),
    });
    fc.assert(
      fc.property(
        fc.uniqueArray(one, { selector: ({ xMm }) => xMm, maxLength: 20 }),
        (leadOuts: LeadOut[]) => {
          const levels = leadOutLevels(leadOuts);
          for (const [i, a] of leadOuts.entries()) {
            for (const [j, b] of leadOuts.entries()) {
              if (i === j) continue;
              const isOverB = b.xMm > a.xMm && b.xMm < a.xMm + a.widthMm;
              // The line of b goes up to its level; where a reaches over it, a stands higher.
              if (isOverB) expect(levels[i]!).toBeGreaterThan(levels[j]!);
            }
          }
        },
      ),
    );
  });

  for (const unit of ['mm', 'in'] as const) {
    it(`numbers the film from its start where it is, in ${unit === 'mm' ? 'meters' : 'feet'}`, () => {
      const { sheets, production, oneTo } = drawn(withProduction(trailerJob(23, { displayUnit: unit })));
      const [use] = production.plan.uses;
      const rows = rects(sheets[0]!, `roll ${use!.rollId}`);
      expect(rows.length).toBeGreaterThan(1);
      const numbers = textsOf(sheets[0]!).filter(({ tag }) => tag === `ruler ${use!.rollId}`);
      expect(numbers.length).toBeGreaterThan(rows.length);
      for (const { text, at } of numbers) {
        const row = rows.filter(({ y, height }) => y + height < at.y).at(-1)!;
        const { alongMm } = filmFromSheet(rows, oneTo, { x: at.x, y: row.y });
        const count = Number(/^(\d+) (?:m|ft)$/.exec(text)![1]);
        expect(alongMm).toBeCloseTo(count * (unit === 'mm' ? 1000 : MM_PER_FOOT), 3);
      }
    });
  }

  it('has a tick at every meter between numbers five meters apart', () => {
    const ticks = rulerTicks(2300, 11_200, 2700, 'mm');
    expect(ticks.map(({ atMm }) => atMm)).toEqual(
      [3, 4, 5, 6, 7, 8, 9, 10, 11].map((meters) => meters * 1000),
    );
    expect(ticks.flatMap(({ text }) => text ?? [])).toEqual(['5 m', '10 m']);
  });

  it('draws few panels larger than many, and keeps a van of two sides on one page', () => {
    const few = drawn(withProduction(trailerJob(5)));
    const many = drawn(withProduction(trailerJob(41)));
    expect(few.oneTo).toBeLessThan(many.oneTo);
    expect(few.sheets).toHaveLength(1);
    expect(drawn(withProduction(bookmobileJob())).sheets).toHaveLength(1);
  });
});
