import { PDFDict, PDFDocument, PDFName } from 'pdf-lib';
import { expect, test } from 'vitest';
import { comparisonSummary, verdictText } from '../../../core/output/comparison-text.ts';
import {
  compared,
  drawnArtwork,
  panelNamed,
  twoSides,
  usualSamples,
  verdicts,
} from '../../support/compared-artwork.ts';
import { smallJob } from '../../support/small-job.ts';

const WORD = 'BT /F 40 Tf 100 30 Td (Library) Tj ET';
const CORNER = '0 1 0 0 k 700 300 40 20 re f';

const sameDrawing: Parameters<typeof compared>[2] = {
  draw: async (_renderer, _sides, _grid, window) => {
    const rgba = new Uint8Array(4 * window.width * window.height).fill(200);
    return [
      { window, rgba },
      { window, rgba },
    ];
  },
};

test('compares panels by their outline, whatever their numbers are', async () => {
  const before = await drawnArtwork([{ content: `${WORD} ${CORNER}` }]);
  const after = await drawnArtwork([{ content: `${WORD} 0 0 1 0 k 700 300 40 20 re f` }]);
  const job = smallJob();
  const other = { ...job, output: { ...job.output, numbering: 'reading-order' as const } };
  const changedBoxes = async (of: typeof job) =>
    (await compared(before, after, { ...sameDrawing, job: of })).sides[0]!.panels.filter(
      ({ verdict }) => verdict === 'changed',
    ).map(({ finishedBox }) => finishedBox);
  const boxes = await changedBoxes(job);
  expect(boxes).toEqual([{ xMm: 1330, yMm: 0, widthMm: 1770, heightMm: 1300 }]);
  expect(await changedBoxes(other)).toEqual(boxes);
});

test('CA2 finds the same content in a file that another library wrote', async () => {
  const before = await drawnArtwork([{ content: `${WORD} ${CORNER}` }]);
  const document = await PDFDocument.load(before);
  document.setTitle('Corrected');
  const after = await document.save({ useObjectStreams: true });
  expect(after).not.toEqual(before);
  const comparison = await compared(before, after);
  expect(verdicts(comparison)).toEqual({
    'LH-01': 'unchanged, same-content',
    'LH-02': 'unchanged, same-content',
  });
  expect(comparisonSummary(comparison)).toBe('None of 2 panels has changed.');
});

test('CA2 counts the order in which objects are painted', async () => {
  const [one, other] = ['1 0 0 0 k 100 100 300 90 re f', '0 1 0 0 k 150 120 300 90 re f'];
  const before = await drawnArtwork([{ content: `${one} ${other}` }]);
  const after = await drawnArtwork([{ content: `${other} ${one}` }]);
  expect(panelNamed(await compared(before, after), 'LH-01').verdict).toBe('changed');
});

test('CA3 takes for the same picture what is written otherwise and drawn equal', async () => {
  const before = await drawnArtwork([{ content: `${CORNER} 0 0 0 1 k ${WORD}` }]);
  const after = await drawnArtwork([
    { content: `q 1 0 0 1 700 300 cm 0 1 0 0 k 0 0 40 20 re f Q 0 0 0 1 k ${WORD}` },
  ]);
  expect(verdicts(await compared(before, after, sameDrawing))).toEqual({
    'LH-01': 'unchanged, same-content',
    'LH-02': 'unchanged, same-picture',
  });
  const undrawn = panelNamed(await compared(before, after), 'LH-02');
  expect(undrawn.verdict).toBe('changed');
  expect(undrawn.reasons).toEqual(['It could not be drawn, so that it is not known whether it has changed.']);
});

test('CA3 hears letters and colors where pictures show nothing', async () => {
  const before = await drawnArtwork([{ content: `0 0 0 1 k ${WORD} ${CORNER}` }]);
  const letter = await drawnArtwork([{ content: `0 0 0 1 k ${WORD.replace('Lib', 'Llb')} ${CORNER}` }]);
  expect(panelNamed(await compared(before, letter, sameDrawing), 'LH-01').reasons).toEqual([
    'A letter has changed.',
  ]);
  const color = await drawnArtwork([{ content: `0 0 0 1 k ${WORD} 0 0.9 0 0 k 700 300 40 20 re f` }]);
  expect(panelNamed(await compared(before, color, sameDrawing), 'LH-02').reasons).toEqual([
    'Colors have changed.',
  ]);
});

test('CA3 takes glyphs of a Type 3 font for drawings, whatever their codes are', async () => {
  const lettered = async (letter: string) => {
    const content = `0 0 0 1 k BT /F 40 Tf 100 30 Td (${letter}) Tj ET`;
    const document = await PDFDocument.load(await drawnArtwork([{ content }]));
    const { context } = document;
    const glyph = context.register(context.flateStream('60 0 0 0 50 70 d1 0 0 50 70 re f'));
    const font = context.obj({
      Type: 'Font',
      Subtype: 'Type3',
      FontBBox: [0, 0, 50, 70],
      FontMatrix: [0.01, 0, 0, 0.01, 0, 0],
      CharProcs: { [letter]: glyph },
      Encoding: { Differences: [letter.charCodeAt(0), letter] },
      FirstChar: letter.charCodeAt(0),
      LastChar: letter.charCodeAt(0),
      Widths: [60],
    });
    const resources = document.getPage(0).node.Resources();
    resources?.lookup(PDFName.of('Font'), PDFDict).set(PDFName.of('F'), context.register(font));
    return await document.save();
  };
  const [before, after] = [await lettered('A'), await lettered('B')];
  expect(verdicts(await compared(before, after, sameDrawing))['LH-01']).toBe('unchanged, same-picture');
  expect(verdicts(await compared(before, after))['LH-01']).toBe('changed');
});

test('tells where samples have changed, and how much of the panel that is', async () => {
  const samples = usualSamples();
  for (let y = 4; y < 8; y++) for (let x = 10; x < 14; x++) samples[40 * y + x]! ^= 0x80;
  const comparison = await compared(await drawnArtwork([{}]), await drawnArtwork([{ samples }]));
  const panel = panelNamed(comparison, 'LH-01');
  expect(panel).toMatchObject({ verdict: 'changed', reasons: ['The samples of a picture have changed.'] });
  // The picture is 200 × 100 pt at 60, 80 pt of a page of 140 mm at 1:10; the side begins at 5, 5 mm.
  const mm = 254 / 72;
  const [place, ...more] = panel.places;
  expect(more).toEqual([]);
  expect(place!.xMm).toBeCloseTo((60 + 50) * mm - 50, 1);
  expect(place!.widthMm).toBeCloseTo(20 * mm, 1);
  expect(place!.yMm).toBeCloseTo(1400 - (80 + 100 - 20) * mm - 50, 1);
  expect(place!.heightMm).toBeCloseTo(20 * mm, 1);
  const { widthMm, heightMm } = panel.printedBox;
  expect(panel.changedShare).toBeCloseTo((20 * mm) ** 2 / (widthMm * heightMm), 5);
  expect(verdictText(panel)).toBe('changed, less than 1 % of it');
  expect(panelNamed(comparison, 'LH-02').verdict).toBe('unchanged');
});

test('leaves samples that were only coded anew to pictures', async () => {
  const samples = usualSamples().map((value) => Math.min(255, value + 1));
  const [before, after] = [await drawnArtwork([{}]), await drawnArtwork([{ samples }])];
  expect(verdicts(await compared(before, after, sameDrawing))['LH-01']).toBe('unchanged, same-picture');
});

test('tells of what has changed beside the side at the panel next to it', async () => {
  const before = await drawnArtwork([{ widthMm: 360 }]);
  const after = await drawnArtwork([{ widthMm: 360, content: '0 1 1 0 k 960 100 20 20 re f' }]);
  const comparison = await compared(before, after);
  expect(verdicts(comparison)).toEqual({
    'LH-01': 'unchanged, same-content',
    'LH-02': 'outside, same-content',
  });
  expect(panelNamed(comparison, 'LH-02').reasons).toEqual(['Something has changed beside it.']);
  expect(verdictText(panelNamed(comparison, 'LH-02'))).toBe('only outside what prints (same content)');
});

test('finds sides that have changed places, in one sentence', async () => {
  const [left, right] = [{ content: WORD }, { content: CORNER, ground: '0 0.6 0.7 0 k' }];
  const comparison = await compared(await drawnArtwork([left, right]), await drawnArtwork([right, left]), {
    job: twoSides(),
  });
  expect(comparison.remarks).toEqual([
    'Left side and Right side have changed places: Left side is on page 2 now, Right side on page 1.',
  ]);
  expect(comparison.moves).toEqual([
    { sideId: 'left', page: 2 },
    { sideId: 'right', page: 1 },
  ]);
  expect(new Set(Object.values(verdicts(comparison)))).toEqual(new Set(['unchanged, same-content']));
});

test('tells alike sides apart: by what each has more of, whichever page was corrected', async () => {
  const shared = '1 0 0 0 k 100 100 300 90 re f 0 1 0 0 k 420 120 90 90 re f';
  const [left, right] = [{ content: `${shared} ${WORD}` }, { content: `${shared} ${CORNER}` }];
  const before = await drawnArtwork([left, right]);
  const options = { ...sameDrawing, job: twoSides() };
  const pagesOf = async (after: Parameters<typeof drawnArtwork>[0]) =>
    (await compared(before, await drawnArtwork(after), options)).sides.map(({ pageAfter }) => pageAfter);
  expect(await pagesOf([right, left])).toEqual([2, 1]);
  expect(await pagesOf([{ content: CORNER }, left, right])).toEqual([2, 3]);
  const corrected = { content: '0 0 1 0 k 100 100 300 90 re f 0 1 0 0 k 420 120 90 90 re f' };
  expect(await pagesOf([corrected, right])).toEqual([1, 2]);
});

test('tells of a page less and of another size', async () => {
  const [left, right] = [{ content: WORD }, { content: CORNER, ground: '0 0.6 0.7 0 k' }];
  const before = await drawnArtwork([left, right]);
  const one = await compared(before, await drawnArtwork([left]), { job: twoSides() });
  expect(one.remarks).toEqual([
    'The corrected artwork has 1 page; the artwork had 2 pages.',
    'No page of the corrected artwork holds Right side; that side stays as it is, and nothing of it can be written.',
  ]);
  expect(verdicts(one)).toMatchObject({ 'LH-01': 'unchanged, same-content', 'RH-01': 'changed' });
  const wide = await compared(before, await drawnArtwork([{ ...left, widthMm: 340 }, right]), {
    job: twoSides(),
  });
  expect(wide.remarks).toEqual([
    'The page of Left side is 340 mm × 140 mm; it was 320 mm × 140 mm: the side stays where it was, measured from the top left corner.',
  ]);
});

test('knows pages of a fleet again that differ in a number alone and have changed places', async () => {
  const shapes = Array.from({ length: 30 }, (_, i) => `0 1 0 0 k ${20 + 25 * i} 300 20 20 re f`).join(' ');
  const pages = ['417', '418'].map((unit) => ({
    content: `${shapes} BT /F 40 Tf 100 30 Td (${unit}) Tj ET`,
  }));
  const before = await drawnArtwork(pages);
  const job = twoSides();
  const swapped = await compared(before, await drawnArtwork(pages.toReversed()), { job });
  expect(swapped.sides.map(({ pageAfter }) => pageAfter)).toEqual([2, 1]);
  expect(comparisonSummary(swapped)).toBe('None of 4 panels has changed.');
  // A number that was corrected makes no other page of this one.
  const corrected = await drawnArtwork(
    ['419', '418'].map((unit) => ({ content: `${shapes} BT /F 40 Tf 100 30 Td (${unit}) Tj ET` })),
  );
  expect((await compared(before, corrected, { job })).sides.map(({ pageAfter }) => pageAfter)).toEqual([
    1, 2,
  ]);
});
