import { PDFDocument, PDFName, PDFNumber } from 'pdf-lib';
import { beforeAll, describe, expect, it } from 'vitest';
import { panelCutFromLayout } from '../../../core/cut/panel-cut.ts';
import type { Job } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import type { Artwork } from '../../../core/pdf/document/artwork.ts';
import { jobProduction } from '../../../core/production/job-production.ts';
import type { Sheet } from '../../../core/sheets/page-frame.ts';
import { opened, TOOLS } from '../../support/panel-check.ts';
import { panelPdf } from '../../support/panel-pdf.ts';
import { bookmobileJob, testFonts, trailerJob } from './fixture.ts';
import { textsOf } from './sheet-checks.ts';
import { printRowsOf, reduced, tableRows, ticketOf, withProduction, words } from './tickets.ts';

const fonts = testFonts();

/** Whether a place is told in meters, rounded up to a hundredth; boxes of PDF files are off by some hundredths of a millimeter. */
const isRoundedUp = (mm: number, text: string): boolean => {
  const over = Number.parseFloat(text) * 1000 - mm;
  return over > -0.1 && over < 10.1;
};

describe('ticket against the panels', () => {
  let artwork: Uint8Array;
  beforeAll(async () => {
    const doc = await PDFDocument.create({ updateMetadata: false });
    const page = doc.addPage([(820 * 72) / 25.4, (330 * 72) / 25.4]);
    page.drawRectangle({ x: 40, y: 50, width: 1900, height: 600 });
    artwork = await doc.save();
  });

  for (const [name, job] of Object.entries({
    'true size': withProduction(trailerJob(5)),
    'reduced by 10': withProduction(reduced(bookmobileJob(), 10)),
  })) {
    let pdfs: Promise<ReadonlyMap<string, PanelBoxes>> | undefined;
    const pdfsOf = (sheets: readonly Sheet[]) => {
      pdfs ??= (async () => {
        const factorText = words(sheets).match(/ENLARGE ×(\d+)/)?.[1];
        return panelBoxes(job, await opened(artwork), factorText ? Number(factorText) : 1);
      })();
      return pdfs;
    };

    it(`agrees with the boxes of every panel PDF: ${name}`, async () => {
      const sheets = ticketOf(job);
      const pdfs = await pdfsOf(sheets);
      const rows = printRowsOf(sheets);
      expect(rows.map(([label]) => label).toSorted()).toEqual([...pdfs.keys()].toSorted());
      for (const [label, size] of rows) {
        const { width, height } = pdfs.get(label!)!;
        expect(size).toBe(`${Math.round(width)} × ${Math.round(height)}`);
      }
      const counts = tableRows(sheets, 'Pack').flat().join(' ');
      expect(counts).toContain(`Together ${pdfs.size} panels`);
      const title = `Ticket · ${job.number} · ${pdfs.size} panels`;
      expect(words(sheets)).toContain(title);
    });

    it(`has starts, used length and waste that follow from the panel PDFs: ${name}`, async () => {
      const sheets = ticketOf(job);
      const pdfs = await pdfsOf(sheets);
      const { rolls, rules } = jobProduction(job, jobLayout(job));
      const rows = printRowsOf(sheets).filter((row) => !row.includes('no room'));
      const feed = Number(/100 × (\d+\.\d+) %/.exec(words(sheets))![1]) - 100;
      const numbers = [...new Set(rows.map((row) => Number(row[2])))];
      expect(numbers.length).toBeGreaterThan(0);
      const captions = sheets
        .flatMap(textsOf)
        .filter(({ tag, text }) => tag.startsWith('caption ') && text.includes(' used'));
      expect(captions).toHaveLength(numbers.length);
      let filmM2 = 0;
      let panelsM2 = 0;
      for (const [index, number] of numbers.entries()) {
        const ofRoll = rows.filter((row) => Number(row[2]) === number);
        const roll = rolls.find(({ id }) => captions[index]!.tag === `caption ${id}`)!;
        // In print order each panel begins at the lead-in or a gap behind one that came before it.
        const laid: { start: number; end: number; across: number }[] = [];
        let area = 0;
        for (const [label, , , from, sent] of ofRoll) {
          const { width, height } = pdfs.get(label!)!;
          const isTurned = sent!.endsWith(', turned');
          const along = isTurned ? width : height;
          const start = [roll.leadInMm, ...laid.map((before) => before.end + rules.gapMm)].find((each) =>
            isRoundedUp(each, from!),
          );
          if (start === undefined) throw new Error(`${label} begins at ${from}, behind no other panel`);
          // The ticket shows the compensation with two decimals, a hundredth of a percent of some meters.
          expect(Math.abs(Number.parseInt(sent!, 10) - along * (1 + feed / 100))).toBeLessThan(1);
          laid.push({ start, end: start + along, across: isTurned ? height : width });
          area += width * height;
        }
        // Wherever the roll is cut across, the panels there have room beside each other.
        for (const { start } of laid) {
          const beside = laid.filter((other) => other.start <= start && other.end > start);
          const across = beside.reduce((sum, other) => sum + other.across + rules.gapMm, -rules.gapMm);
          expect(across).toBeLessThanOrEqual(roll.widthMm - roll.leftMarginMm - roll.rightMarginMm + 1e-6);
        }
        const end = Math.max(...laid.map((panel) => panel.end));
        const used = end + roll.tailMm;
        const waste = 100 * (1 - area / (used * roll.widthMm));
        const [wide, length, wasted] = captions[index]!.text.split(' · ');
        expect([wide, wasted]).toEqual([`${roll.widthMm} mm wide`, `${waste.toFixed(1)} % of it waste`]);
        expect(length).toMatch(/^\d+\.\d\d m used$/);
        expect(isRoundedUp(used, length!)).toBe(true);
        filmM2 += (used * roll.widthMm) / 1e6;
        panelsM2 += area / 1e6;
      }
      const estimates = tableRows(sheets, 'Estimates');
      const estimated = (what: string) =>
        Number(/^about ([\d.]+) /.exec(estimates.find(([head]) => head === what)![1]!)![1]);
      // Estimates have three figures.
      expect(estimated('Film')).toBe(Number(filmM2.toPrecision(3)));
      expect(estimated('Waste')).toBe(Number((100 * (1 - panelsM2 / filmM2)).toPrecision(3)));
    });

    it(`estimates ink and handwork from the count and the BleedBoxes of the panel PDFs: ${name}`, async () => {
      const production = { ...job.production!, meanCoveragePercent: 137 };
      const sheets = ticketOf({ ...job, production });
      const pdfs = await pdfsOf(sheets);
      const { inkMlPerM2, trimMinutesPerPanel, packMinutesPerPanel } = production.figures;
      const printedM2 = [...pdfs.values()].reduce((sum, { printedMm2 }) => sum + printedMm2 / 1e6, 0);
      const rows = tableRows(sheets, 'Estimates');
      const estimated = (what: string) =>
        Number(/^about ([\d.]+) /.exec(rows.find(([head]) => head === what)![1]!)![1]);
      const ml = printedM2 * 1.37 * inkMlPerM2;
      expect(Math.abs(estimated('Ink') / ml - 1)).toBeLessThan(0.005);
      expect(estimated('Trimming')).toBe(pdfs.size * trimMinutesPerPanel);
      expect(estimated('Packing')).toBe(pdfs.size * packMinutesPerPanel);
    });

    it(`trims in the shop exactly where a panel PDF has no image beyond its TrimBox: ${name}`, async () => {
      const sheets = ticketOf(job);
      const pdfs = await pdfsOf(sheets);
      const list = sheets.flatMap(textsOf).filter(({ tag }) => tag === 'list Trim in the shop');
      const listed = list.flatMap(({ text }, index) => {
        const edges = /^(.*) edge to the line$/.exec(text)?.[1]?.split(', ') ?? [];
        return edges.map((edge) => `${list[index - 1]!.text} ${edge}`);
      });
      const found = [...pdfs].flatMap(([label, { beyondTrim }]) =>
        Object.entries(beyondTrim).flatMap(([edge, mm]) => (Math.abs(mm) < 0.01 ? [`${label} ${edge}`] : [])),
      );
      expect(listed.toSorted()).toEqual(found.toSorted());
      // The rear doors of the van meet edge to edge, the drops of the trailer all lap.
      expect(found.length > 0).toBe(job.sides.some(({ code }) => code === 'RR'));
    });
  }
});

interface PanelBoxes {
  /** Of the film, in mm. */
  readonly width: number;
  readonly height: number;
  readonly printedMm2: number;
  /** How far the BleedBox lies outside the TrimBox, in mm. */
  readonly beyondTrim: Readonly<Record<'top' | 'right' | 'bottom' | 'left', number>>;
}

/** The boxes of every panel's own PDF, enlarged as the ticket says, by the panel's label. */
async function panelBoxes(job: Job, artwork: Artwork, factor: number): Promise<Map<string, PanelBoxes>> {
  const found = new Map<string, PanelBoxes>();
  for (const layout of jobLayout(job)) {
    for (const panel of layout.panels) {
      const made = await panelPdf(
        artwork,
        panelCutFromLayout(job, layout, panel, { program: 'Panelwright test', shown: '5f3a90c1', fonts }),
        TOOLS,
      );
      if (!made.ok) throw new Error(made.problem.message);
      const page = (await PDFDocument.load(made.value.bytes, { updateMetadata: false })).getPage(0);
      const userUnit = page.node.lookupMaybe(PDFName.of('UserUnit'), PDFNumber)?.asNumber() ?? 1;
      const mm = (units: number) => (units * userUnit * 25.4 * factor) / 72;
      const [film, bleed, trim] = [page.getMediaBox(), page.getBleedBox(), page.getTrimBox()];
      found.set(panel.label, {
        width: mm(film.width),
        height: mm(film.height),
        printedMm2: mm(bleed.width) * mm(bleed.height),
        beyondTrim: {
          top: mm(bleed.y + bleed.height - trim.y - trim.height),
          right: mm(bleed.x + bleed.width - trim.x - trim.width),
          bottom: mm(trim.y - bleed.y),
          left: mm(trim.x - bleed.x),
        },
      });
    }
  }
  return found;
}
