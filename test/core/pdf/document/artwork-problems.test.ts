import { describe, expect, it } from 'vitest';
import type { PanelCut } from '../../../../core/cut/cut-request.ts';
import { artworkPage, artworkPages } from '../../../../core/pdf/document/artwork.ts';
import type { ArtworkProblem } from '../../../../core/pdf/page/artwork-problem.ts';
import { pdfCodecs } from '../../../../main/files/pdf-source.ts';
import { artworkFromBytes } from '../../../support/artwork-bytes.ts';
import { opened, resultValue, TEST_INFO, TOOLS } from '../../../support/panel-check.ts';
import { panelPdf } from '../../../support/panel-pdf.ts';
import { pdfFromObjects, rawPdf } from '../../../support/raw-pdf.ts';

async function problemOf(bytes: Uint8Array | string): Promise<ArtworkProblem> {
  const file = typeof bytes === 'string' ? new TextEncoder().encode(bytes) : bytes;
  const result = await artworkFromBytes(file, { codecs: pdfCodecs });
  if (result.ok) throw new Error('The artwork opened');
  return result.problem;
}

/** One sentence each, with no jargon of the program and no stack. */
function expectSentences({ message, remedy }: ArtworkProblem): void {
  for (const sentence of [message, remedy]) expect(sentence).toMatch(/^[A-Z][^\n]{10,260}[^.]\.$/);
}

const SIMPLE = rawPdf({ page: '/MediaBox [0 0 120 80]', content: '0.5 g 10 10 50 40 re f' });

describe('bad artwork gets one problem with a remedy', () => {
  it.each([
    ['nothing at all', '', 'pdf-not-a-pdf'],
    ['a text file', 'Dear printer, the artwork is attached.', 'pdf-not-a-pdf'],
    ['a header and nothing else', '%PDF-1.7\n', 'pdf-damaged'],
    ['a header and noise', `%PDF-1.4\n${'\x00\xff obj endobj 7 0 obj << /Type'.repeat(50)}`, 'pdf-damaged'],
  ])('%s', async (_name, bytes, code) => {
    const problem = await problemOf(bytes);
    expect(problem.code).toBe(code);
    expectSentences(problem);
  });

  it('a file cut short before its pages', async () => {
    const problem = await problemOf(SIMPLE.subarray(0, 60));
    expect(problem.code).toBe('pdf-damaged');
    expectSentences(problem);
  });

  it('no pages', async () => {
    const problem = await problemOf(
      pdfFromObjects({ 1: '<< /Type /Catalog /Pages 2 0 R >>', 2: '<< /Type /Pages /Kids [] /Count 0 >>' }),
    );
    expect(problem.code).toBe('pdf-no-pages');
    expectSentences(problem);
  });

  it.each([
    ['a page of no size', '/MediaBox [0 0 0 0]', 'page-box-empty'],
    ['a page of no height', '/MediaBox [10 50 300 50]', 'page-box-empty'],
    ['a box of three numbers', '/MediaBox [0 0 300]', 'page-box-invalid'],
    ['a box that is no array', '/MediaBox /A4', 'page-box-invalid'],
    ['a box with NaN in it', '/MediaBox [0 0 NaN 200]', 'page-box-invalid'],
    ['a UserUnit of zero', '/MediaBox [0 0 300 200] /UserUnit 0', 'page-user-unit-invalid'],
    ['a negative UserUnit', '/MediaBox [0 0 300 200] /UserUnit -2', 'page-user-unit-invalid'],
  ])('%s', async (_name, page, code) => {
    const problem = await problemOf(rawPdf({ page }));
    expect(problem.code).toBe(code);
    expect(problem.message).toContain('Page 1');
    expectSentences(problem);
  });

  it('one bad page leaves the others usable', async () => {
    const pdf = pdfFromObjects({
      1: '<< /Type /Catalog /Pages 2 0 R >>',
      2: '<< /Type /Pages /Kids [3 0 R 4 0 R] /Count 2 >>',
      3: '<< /Type /Page /Parent 2 0 R /MediaBox [0 0 0 5] >>',
      4: '<< /Type /Page /Parent 2 0 R /MediaBox [0 0 200 90] >>',
    });
    const [first, second] = artworkPages(await opened(pdf));
    expect(first).toMatchObject({ ok: false, problem: { code: 'page-box-empty' } });
    expect(resultValue(second!).number).toBe(2);
  });

  it('a page that the artwork has not', async () => {
    const result = artworkPage(await opened(SIMPLE), 4);
    expect(result).toMatchObject({ ok: false, problem: { code: 'pdf-page-missing' } });
    if (!result.ok) expect(result.problem.message).toBe('The artwork has no page 4: it has one page.');
  });

  it('content whose packing is damaged', async () => {
    const pdf = rawPdf({
      page: '/MediaBox [0 0 120 80]',
      objects: {
        20: {
          dict: '/Filter /FlateDecode',
          data: 'this was never deflated, whatever its dictionary says of it',
        },
      },
    });
    const text = Buffer.from(pdf).toString('latin1').replace('/MediaBox', '/Contents 20 0 R /MediaBox');
    const problem = await problemOf(Buffer.from(text, 'latin1'));
    expect(problem.code).toBe('pdf-stream-damaged');
    expectSentences(problem);
  });

  it('a window beside the artwork', async () => {
    const square = { x: 0, y: 0, width: 10, height: 10 };
    const cut: PanelCut = {
      page: 1,
      box: 'crop',
      window: { x: 100, y: 0, width: 10, height: 10 },
      scale: 1,
      printed: square,
      net: square,
      filmWidthMm: 10,
      filmHeightMm: 10,
      size: { kind: 'true-size' },
      info: TEST_INFO,
    };
    const result = await panelPdf(await opened(SIMPLE), cut, TOOLS);
    expect(result).toMatchObject({ ok: false, problem: { code: 'cut-window-outside' } });
  });
});

describe('ART4 damaged files are repaired as far as they go', () => {
  const cutApart = (find: string, replace: string): Uint8Array => {
    const text = Buffer.from(SIMPLE).toString('latin1');
    if (!text.includes(find)) throw new Error(`The file holds no '${find}'`);
    return new Uint8Array(Buffer.from(text.replace(find, replace), 'latin1'));
  };

  it.each([
    ['no cross-reference at all', SIMPLE.subarray(0, Buffer.from(SIMPLE).indexOf('xref'))],
    ['startxref points nowhere', cutApart('startxref\n', 'startxref\n9')],
    ['every offset is wrong', cutApart('%PDF-1.7\n', '%PDF-1.7\n% one line more than the table knows\n')],
    ['no trailer', cutApart('trailer', 'trayler')],
    ['a wrong stream length', cutApart('/Length 22', '/Length 99')],
    ['bytes before the header', new Uint8Array(Buffer.concat([Buffer.from('--mail--\n'), SIMPLE]))],
  ])('ART4 %s', async (_name, bytes) => {
    const artwork = await opened(bytes);
    const page = resultValue(artworkPage(artwork, 1));
    expect(page.widthMm).toBeCloseTo((120 / 72) * 25.4, 9);
    expect(page.facts.isBlank).toBe(false);
  });

  it('ART4 says that a file was repaired', async () => {
    expect((await opened(SIMPLE)).file.isRepaired).toBe(false);
    expect((await opened(cutApart('startxref\n', 'startxref\n9'))).file.isRepaired).toBe(true);
  });

  it('ART4 the newest of several versions of an object counts', async () => {
    const bytes = Buffer.concat([
      Buffer.from(SIMPLE.subarray(0, Buffer.from(SIMPLE).indexOf('xref'))),
      Buffer.from('3 0 obj\n<< /Type /Page /Parent 2 0 R /MediaBox [0 0 200 80] >>\nendobj\n'),
    ]);
    const page = resultValue(artworkPage(await opened(new Uint8Array(bytes)), 1));
    expect(page.widthMm).toBeCloseTo((200 / 72) * 25.4, 9);
  });

  it('ART4 a page tree that contains itself, holes and strays is walked once', async () => {
    const pdf = pdfFromObjects({
      1: '<< /Type /Catalog /Pages 2 0 R >>',
      2: '<< /Type /Pages /Kids [9 0 R 3 0 R null 5 0 R (stray) 2 0 R] /Count 7 /MediaBox [0 0 60 50] >>',
      3: '<< /Kids [4 0 R 2 0 R] >>',
      4: '<< /Parent 3 0 R /Contents 6 0 R >>',
      5: '<< /Type /Page /Rotate 90 >>',
      6: { data: '0 g' },
    });
    const pages = artworkPages(await opened(pdf)).map(resultValue);
    expect(pages.map(({ rotation }) => rotation)).toEqual([0, 90]);
  });

  it('ART4 no prefix of a file makes it throw', async () => {
    for (let length = 0; length < SIMPLE.length; length += 7) {
      const result = await artworkFromBytes(SIMPLE.subarray(0, length), { codecs: pdfCodecs });
      if (!result.ok) expectSentences(result.problem);
    }
  });
});
