import { describe, expect, it } from 'vitest';
import { jobFindings } from '../../../core/checks/findings/job-findings.ts';
import { seamMovedOffLettering } from '../../../core/checks/findings/seam-off-lettering.ts';
import type { ArtworkScan, PageScan } from '../../../core/checks/scan/schema.ts';
import { letteringOnPage, sideLettering } from '../../../core/checks/side-lettering.ts';
import type { Finding } from '../../../core/findings/finding.ts';
import { letteringHeed, letteringIgnore } from '../../../core/job/edits/edits.ts';
import { regionJoints } from '../../../core/job/region.ts';
import type { Job } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { breakable } from '../../support/breakable.ts';
import { lap, panel, split } from '../job/sample-job.ts';
import { GROUND, jobOnPage, pageInMm, scanOf } from './check-support.ts';

const FONT = '/Font << /F1 << /Type /Font /Subtype /Type1 /BaseFont /Helvetica >> >>';
const text = (size: number, x: number, y: number, string: string) =>
  `BT /F1 ${size} Tf 1 0 0 -1 ${x} ${y} Tm (${string}) Tj ET\n`;

/** One seam at 1,250 mm from the left of the side: 175 mm from the left of the page. */
const jobWithSeam = (displayUnit: Job['displayUnit'] = 'mm'): Job =>
  jobOnPage({
    side: { layout: split('vertical', [lap('j1', 1250)], [panel('p1'), panel('p2')]) },
    job: { displayUnit },
  });

function findingsOf(scan: ArtworkScan, job = jobWithSeam()): Finding[] {
  const artwork = { sha256: job.artwork!.sha256, pages: new Map(), remarks: [], scan };
  return jobFindings({ job, layouts: jobLayout(job), artwork });
}

const findings = async (content: string, job: Job): Promise<Finding[]> =>
  findingsOf(await scanOf(pageInMm(GROUND + content, { resources: FONT })), job);

const isOfSeam = ({ code }: Finding): boolean => /^seam-(through|along)-/.test(code);
const seamsOn = (scan: ArtworkScan, job?: Job): Finding[] => findingsOf(scan, job).filter(isOfSeam);

/** Two words with capitals of 9 mm and a space of 6 mm between them; drawn mm. */
const shapesAt = (x: number, y: number): NonNullable<PageScan['shapes']>[number] => ({
  area: { x, y, width: 90, height: 11 },
  words: [
    { x, y, width: 33, height: 11 },
    { x: x + 39, y, width: 51, height: 11 },
  ],
  strokes: [],
  capHeightMm: 9,
  isSure: true,
});

const seamFindings = async (content: string, job = jobWithSeam()): Promise<Finding[]> =>
  (await findings(content, job)).filter(isOfSeam);

describe('seams through lettering that nobody framed', () => {
  it('PL8 small live text warns with what it says, where and how high, in both unit systems', async () => {
    const words = text(14, 160, 90, 'Alder Valley Books');
    const [found, ...others] = await seamFindings(words);
    expect(others).toEqual([]);
    expect(found).toMatchObject({
      code: 'seam-through-lettering',
      severity: 'warn',
      where: { sideId: 's1', seamId: 'j1', itemId: expect.stringMatching(/^text-160-/) },
      figure: 1250,
    });
    expect(found!.message).toContain('cuts “Alder Valley Books” with capitals about 98 mm high');
    const [inInches] = await seamFindings(words, jobWithSeam('in'));
    expect(breakable(inInches!.message)).toContain('with capitals about 3 7/8 in high');
    expect(inInches!.message).not.toContain('mm');
  });

  it('PL8 large letters are noted; a phone number warns at any height', async () => {
    expect(await seamFindings(text(40, 120, 90, 'ALDER'))).toMatchObject([
      { code: 'seam-through-large-lettering', severity: 'note' },
    ]);
    expect(await seamFindings(text(40, 80, 90, '503 555 0188'))).toMatchObject([
      { code: 'seam-through-phone-number', severity: 'warn' },
    ]);
  });

  it('PL8 a seam in the space between two words says nothing', async () => {
    // Helvetica at 14: “Alder” ends 33.5 mm on, the space is 3.9 mm wide.
    expect(await seamFindings(text(14, 140.3, 90, 'Alder Valley'))).toEqual([]);
  });

  it('lettering in a no-seam area has the finding of the area alone', async () => {
    const job = jobWithSeam();
    const rect = { xMm: 1050, yMm: 400, widthMm: 1600, heightMm: 300 };
    const side = { ...job.sides[0]!, noSeamAreas: [{ id: 'k7', name: 'name', rect }] };
    const found = await seamFindings(text(14, 160, 90, 'Alder Valley Books'), { ...job, sides: [side] });
    expect(found.map(({ code }) => code)).toEqual(['seam-through-no-seam-area']);
  });

  it('lettering that is ignored as decoration says nothing, at any scale', async () => {
    const content = text(14, 160, 90, 'Alder Valley Books');
    const job = jobWithSeam();
    const [found] = await seamFindings(content, job);
    const drawn = letteringOnPage(job, job.sides[0]!, found!.where.area!);
    const ignored = letteringIgnore(job, { sideId: 's1', drawn });
    if (!ignored.ok) throw new Error(ignored.problem.message);
    expect(await seamFindings(content, ignored.value)).toEqual([]);
    const notes = (await findings(content, ignored.value)).filter(({ code }) => code === 'lettering-ignored');
    expect(notes).toMatchObject([{ severity: 'note', where: { sideId: 's1', area: found!.where.area } }]);
    const cleared = letteringHeed(ignored.value, { sideId: 's1', drawn });
    expect(cleared).toEqual({ ok: true, value: job });
    const scan = await scanOf(pageInMm(GROUND + content, { resources: FONT }));
    const twice = { ...ignored.value, scale: 20 };
    expect(sideLettering(twice, twice.sides[0]!, scan.pages[0]!)).toEqual([]);
  });

  it('PL8 outlines with a little live text in them are told beside the text', async () => {
    const scan = await scanOf(pageInMm(`${GROUND}${text(3, 162, 85, 'est. 1911')}`, { resources: FONT }));
    const page = { ...scan.pages[0]!, shapes: [shapesAt(145, 78)] };
    const job = jobWithSeam();
    expect(sideLettering(job, job.sides[0]!, page).map(({ id }) => id)).toEqual([
      expect.stringMatching(/^text-162-/),
      'shapes-145-78',
    ]);
  });

  it('PL8 a shadow and its lettering are one', async () => {
    const twice = text(14, 160, 90, 'Alder Valley Books') + text(14, 160.4, 90.4, 'Alder Valley Books');
    expect(await seamFindings(twice)).toHaveLength(1);
  });
});

describe('what cannot be told', () => {
  it('PL9 a page without a picture says that only live text was looked for', async () => {
    const notes = (await findings('', jobWithSeam())).filter(
      ({ code }) => code === 'lettering-not-looked-for',
    );
    expect(notes).toMatchObject([{ severity: 'note', where: { sideId: 's1' } }]);
    expect(notes[0]!.message).toContain('only live text was looked for');
  });

  it('PL9 what only looks like lettering warns, and says that it cannot be read', async () => {
    const scan = await scanOf(pageInMm(GROUND));
    const page = { ...scan.pages[0]!, shapes: [shapesAt(160, 80)] };
    const found = seamsOn({ ...scan, pages: [page] });
    expect(found).toMatchObject([
      { code: 'seam-through-lettering', severity: 'warn', where: { itemId: 'shapes-160-80' } },
    ]);
    expect(found[0]!.message).toContain('what looks like lettering with capitals about 90 mm high');
    expect(found[0]!.remedy).toContain('cannot read it');
  });

  it('PL9 a seam through a picture says that faces are not recognized, one beside it does not', async () => {
    const scan = await scanOf(pageInMm(GROUND));
    const image = (x: number) => ({
      widthPx: 400,
      heightPx: 300,
      area: { x, y: 50, width: 60, height: 45 },
      isMask: false,
    });
    const codes = (x: number) =>
      findingsOf({ ...scan, pages: [{ ...scan.pages[0]!, images: [image(x)] }] }).map(({ code }) => code);
    expect(codes(150)).toContain('faces-not-looked-for');
    expect(codes(200)).not.toContain('faces-not-looked-for');
  });
});

describe('a seam moved off lettering', () => {
  /** Words from 1,000 to 1,330 and from 1,390 to 1,900 mm of the side. */
  const scanWith = async (): Promise<ArtworkScan> => {
    const scan = await scanOf(pageInMm(GROUND));
    return { ...scan, pages: [{ ...scan.pages[0]!, shapes: [shapesAt(150, 80)] }] };
  };
  const moved = async (job: Job) =>
    seamMovedOffLettering(job, { scan: await scanWith(), pages: new Map() }, { sideId: 's1', seamId: 'j1' });
  const seamAt = async (job: Job): Promise<number> => {
    const after = await moved(job);
    if (!after.ok) throw new Error(after.problem.message);
    expect(seamsOn(await scanWith(), after.value).filter(({ where }) => where.seamId === 'j1')).toEqual([]);
    return regionJoints(after.value.sides[0]!.layout)[0]!.atMm;
  };
  const jobWithSeams = (...at: number[]): Job =>
    jobOnPage({
      side: {
        layout: split(
          'vertical',
          at.map((mm, index) => lap(`j${index + 1}`, mm)),
          [panel('p0'), ...at.map((_, index) => panel(`p${index + 1}`))],
        ),
      },
    });

  it('stands in the nearest space between words', async () => {
    expect(await seamAt(jobWithSeam())).toBe(1355);
  });

  it('stands further away where the nearest place leaves a panel that the printer cannot print', async () => {
    const job = jobWithSeams(1250, 2120);
    // The panels are 1,310 mm high with their bleed: more than the roll is wide unless they lie along it.
    const printer = { ...job.printer, rollWidthMm: 1402, longestPrintMm: 1420 };
    expect(await seamAt({ ...job, printer })).toBe(975);
  });

  it('cuts a giant word that leaves no space, rather than the small words under it', async () => {
    const scan = await scanWith();
    const giant = { ...shapesAt(60, 40), words: [{ x: 60, y: 40, width: 280, height: 40 }], capHeightMm: 40 };
    const page = {
      ...scan.pages[0]!,
      shapes: [...scan.pages[0]!.shapes!, { ...giant, area: giant.words[0]! }],
    };
    // Of the places between the small words and beside them, the giant word leaves none within the seams beside.
    const job = jobWithSeams(1250, 1600);
    const after = seamMovedOffLettering(
      job,
      { scan: { ...scan, pages: [page] }, pages: new Map() },
      { sideId: 's1', seamId: 'j1' },
    );
    if (!after.ok) throw new Error(after.problem.message);
    expect(regionJoints(after.value.sides[0]!.layout)[0]!.atMm).toBe(75);
    const more = { ...job, sides: [{ ...job.sides[0]!, noSeamAreas: [AREA] }] };
    const cut = seamMovedOffLettering(
      more,
      { scan: { ...scan, pages: [page] }, pages: new Map() },
      { sideId: 's1', seamId: 'j1' },
    );
    if (!cut.ok) throw new Error(cut.problem.message);
    expect(regionJoints(cut.value.sides[0]!.layout)[0]!.atMm).toBe(1355);
  });

  it('stays where the seams beside it leave words alone', async () => {
    const job = jobWithSeams(1250, 1320);
    const between = { ...job, sides: [{ ...job.sides[0]!, noSeamAreas: [AREA] }] };
    expect(await moved(between)).toMatchObject({ ok: false, problem: { code: 'no-place-between-words' } });
  });
});

/** From the left edge to the first word. */
const AREA = { id: 'k9', name: 'badge', rect: { xMm: 0, yMm: 0, widthMm: 1002, heightMm: 1200 } };
