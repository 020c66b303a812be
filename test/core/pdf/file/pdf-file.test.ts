import fc from 'fast-check';
import { PDFDict, PDFName, PDFNumber, PDFRef, type PDFString } from 'pdf-lib';
import { describe, expect, it } from 'vitest';
import { type ByteSource, byteSourceCached } from '../../../../core/pdf/file/byte-source.ts';
import { numberOf } from '../../../../core/pdf/file/dict-values.ts';
import { pdfPages } from '../../../../core/pdf/file/pages.ts';
import { openPdfFile } from '../../../../core/pdf/file/pdf-file.ts';
import { StoredStream } from '../../../../core/pdf/file/stored-stream.ts';
import { pdfCodecs } from '../../../../main/files/pdf-source.ts';
import { byteSourceFromBytes } from '../../../support/artwork-bytes.ts';
import { pdfFromObjects, rawPdf } from '../../../support/raw-pdf.ts';
import { fileFrom, pdfPage, sourceCounted, sourceSparse } from './file-support.ts';

const LATIN1 = (text: string): Uint8Array => new Uint8Array(Buffer.from(text, 'latin1'));
const TEXT = (bytes: Uint8Array): string => Buffer.from(bytes).toString('latin1');

async function all<T>(items: AsyncIterable<T>): Promise<T[]> {
  const found: T[] = [];
  for await (const item of items) found.push(item);
  return found;
}

/** A page over one image of `length` bytes, the cross-reference behind it; `stated` is the Length entry. */
function hugeFile(length: number, stated: string): ByteSource {
  const objects = [
    '1 0 obj\n<< /Type /Catalog /Pages 2 0 R >>\nendobj\n',
    '2 0 obj\n<< /Type /Pages /Kids [3 0 R] /Count 1 >>\nendobj\n',
    '3 0 obj\n<< /Type /Page /Parent 2 0 R /MediaBox [0 0 400 90] /Resources << /XObject << /Im 4 0 R >> >> >>\nendobj\n',
    `4 0 obj\n<< /Subtype /Image /Width 7 /Height 3 /Length ${stated} >>\nstream\n`,
  ];
  const offsets: number[] = [];
  let head = '%PDF-1.7\n';
  for (const object of objects) {
    offsets.push(head.length);
    head += object;
  }
  const after = head.length + length;
  let tail = '\nendstream\nendobj\n';
  offsets.push(after + tail.length);
  tail += `5 0 obj\n${length}\nendobj\n`;
  const start = after + tail.length;
  const lines = offsets.map((offset) => `${String(offset).padStart(10, '0')} 00000 n \n`).join('');
  tail += `xref\n0 6\n0000000000 65535 f \n${lines}trailer\n<< /Size 6 /Root 1 0 R >>\nstartxref\n${start}\n%%EOF\n`;
  return sourceSparse(after + tail.length, [
    { at: 0, text: head },
    { at: after, text: tail },
  ]);
}

describe('opening by cross-reference', () => {
  it('a file of 3 GB opens, and its image is found, by reading less than 300 kB', async () => {
    for (const stated of ['3000000017', '5 0 R']) {
      const source = sourceCounted(hugeFile(3_000_000_017, stated));
      const file = await fileFrom(source);
      const image = await file.object(PDFRef.of(4));
      expect(image).toBeInstanceOf(StoredStream);
      expect((image as StoredStream).length).toBe(3_000_000_017);
      expect(file.isRepaired).toBe(false);
      expect(source.bytes).toBeLessThan(300_000);
    }
  });

  it('what is read does not grow with the data', async () => {
    const read = await Promise.all(
      [1_000_003, 700_000_001].map(async (length) => {
        const source = sourceCounted(hugeFile(length, String(length)));
        const file = await fileFrom(source);
        await file.object(PDFRef.of(4));
        return source.bytes;
      }),
    );
    expect(Math.abs(read[0]! - read[1]!)).toBeLessThan(2 * 65_536);
  });

  it('stored streams refuse to pass for streams in memory', async () => {
    const file = await fileFrom(rawPdf({ page: '/MediaBox [0 0 9 7]', content: '0 g' }));
    const stream = (await file.object(PDFRef.of(5))) as StoredStream;
    expect(() => stream.getContents()).toThrow(/still in the file/);
    expect(TEXT(await file.streamBytes(stream))).toBe('0 g');
  });

  it('reads through blocks give the same bytes as the medium itself', async () => {
    const bytes = Uint8Array.from({ length: 300_001 }, (_, i) => (i * 31 + (i >> 7)) & 255);
    const cached = byteSourceCached(byteSourceFromBytes(bytes));
    await fc.assert(
      fc.asyncProperty(
        fc.integer({ min: 0, max: 300_100 }),
        fc.integer({ min: 0, max: 140_000 }),
        async (offset, length) => {
          expect(await cached.read(offset, length)).toEqual(bytes.subarray(offset, offset + length));
        },
      ),
      { numRuns: 60 },
    );
  });
});

describe('lengths of streams', () => {
  const DATA = 'BT (endstrea) Tj ET';
  const withLength = (entry: string, extra = ''): Uint8Array =>
    LATIN1(
      `%PDF-1.4\n1 0 obj\n<</Type/Catalog/Pages 2 0 R>>\nendobj\n2 0 obj\n<</Type/Pages/Kids[3 0 R]/Count 1>>\nendobj\n3 0 obj\n<</Type/Page/Parent 2 0 R/Contents 4 0 R>>\nendobj\n4 0 obj\n<<${entry}>>\nstream\r\n${DATA}\nendstream\nendobj\n${extra}trailer\n<</Root 1 0 R/Size 9>>\n`,
    );

  it.each([
    ['right', `/Length ${DATA.length}`, ''],
    ['too short', '/Length 5', ''],
    ['too long', '/Length 5000', ''],
    ['negative', '/Length -3', ''],
    ['no whole number', `/Length ${DATA.length - 0.6}`, ''],
    ['missing', '', ''],
    ['a reference', '/Length 6 0 R', `6 0 obj\n${DATA.length}\nendobj\n`],
    ['a reference to nothing', '/Length 8 0 R', ''],
    ['a reference to itself', '/Length 4 0 R', ''],
    ['a name', '/Length /Long', ''],
  ])('a Length that is %s gives the data all the same', async (_, entry, extra) => {
    const file = await fileFrom(withLength(entry, extra));
    const stream = (await file.object(PDFRef.of(4))) as StoredStream;
    expect(TEXT(await file.streamBytes(stream))).toBe(DATA);
  });

  it('in pieces of any size the data are the same', async () => {
    const file = await fileFrom(rawPdf({ page: '/MediaBox [0 0 9 7]', content: DATA.repeat(11) }));
    const stream = (await file.object(PDFRef.of(5))) as StoredStream;
    for (const size of [1, 7, 64, 1000]) {
      const parts: Uint8Array[] = [];
      for await (const part of file.streamChunks(stream, size)) parts.push(part.slice());
      expect(TEXT(Buffer.concat(parts))).toBe(DATA.repeat(11));
      expect(parts.length).toBe(Math.ceil((DATA.length * 11) / size));
    }
  });
});

describe('broken cross-references', () => {
  const good = TEXT(rawPdf({ page: '/MediaBox [0 0 61 43]', content: '0.5 g 3 4 5 6 re f' }));

  it.each([
    ['no startxref', good.replace('startxref', 'startxxxx')],
    ['a startxref that leads nowhere', good.replace(/startxref\n\d+/, 'startxref\n7')],
    ['offsets that are all wrong', good.replace(/^00000(\d{5}) 00000 n/gm, '00001$1 00000 n')],
    ['a table cut in half', good.slice(0, good.indexOf('00000 n') + 30)],
    ['no trailer at all', good.slice(0, good.indexOf('xref\n'))],
    [
      'a Prev that leads back to itself',
      good.replace('/Root', `/Prev ${/startxref\n(\d+)/.exec(good)![1]} /Root`),
    ],
    ['junk before the header', `junk from a mail gateway\n${good}`],
    ['junk after the end', `${good}${'\0'.repeat(5000)}`],
    ['a table that begins at 1', good.replace(/xref\n0 (\d+)/, 'xref\n1 $1')],
  ])('%s: the page is found', async (_, text) => {
    const file = await fileFrom(LATIN1(text));
    const page = await pdfPage(file, 0);
    const content = await file.entry(page.dict, 'Contents');
    expect(TEXT(await file.streamBytes(content as StoredStream))).toBe('0.5 g 3 4 5 6 re f');
  });

  it('of several objects with one number the last counts', async () => {
    const changed = `${good.slice(0, good.indexOf('xref\n'))}3 0 obj\n<</Type/Page/Parent 2 0 R/MediaBox[0 0 88 44]>>\nendobj\n`;
    const file = await fileFrom(LATIN1(changed));
    expect(file.isRepaired).toBe(true);
    const box = (await file.entry((await pdfPage(file, 0)).dict, 'MediaBox'))!;
    expect(box.toString()).toBe('[ 0 0 88 44 ]');
  });

  it('a wrong entry met later makes the file be read by scanning', async () => {
    const at = good.indexOf('5 0 obj');
    const file = await fileFrom(
      LATIN1(good.replace(String(at).padStart(10, '0'), String(at + 3).padStart(10, '0'))),
    );
    expect(file.isRepaired).toBe(false);
    expect(await file.object(PDFRef.of(5))).toBeInstanceOf(StoredStream);
    expect(file.isRepaired).toBe(true);
  });
});

describe('pages', () => {
  it('the four inheritable attributes come from the nearest ancestor, UserUnit does not', async () => {
    const pdf = pdfFromObjects({
      1: '<< /Type /Catalog /Pages 2 0 R >>',
      2: '<< /Type /Pages /Kids [3 0 R 6 0 R] /Count 3 /MediaBox [0 0 70 50] /Rotate 90 /UserUnit 4 >>',
      3: '<< /Type /Pages /Kids [4 0 R 5 0 R] /Count 2 /Parent 2 0 R /CropBox [1 2 30 40] /Rotate 180 >>',
      4: '<< /Type /Page /Parent 3 0 R >>',
      5: '<< /Type /Page /Parent 3 0 R /MediaBox [0 0 11 13] >>',
      6: '<< /Type /Page /Parent 2 0 R >>',
    });
    const file = await fileFrom(pdf);
    const pages = await all(pdfPages(file));
    expect(pages.map((page) => page.ref?.objectNumber)).toEqual([4, 5, 6]);
    expect(pages.map((page) => String(page.inherited.Rotate))).toEqual(['180', '180', '90']);
    expect(pages.map((page) => page.inherited.CropBox !== undefined)).toEqual([true, true, false]);
    expect(Object.keys(pages[0]!.inherited)).not.toContain('UserUnit');
  });

  it('a page tree that leads back to itself ends', async () => {
    const pdf = pdfFromObjects({
      1: '<< /Type /Catalog /Pages 2 0 R >>',
      2: '<< /Type /Pages /Kids [3 0 R 2 0 R 4 0 R 9 0 R] /Count 4 >>',
      3: '<< /Type /Pages /Kids [2 0 R 3 0 R 4 0 R] /Parent 2 0 R >>',
      4: '<< /Type /Page /Parent 3 0 R /MediaBox [0 0 5 6] >>',
    });
    const pages = await all(pdfPages(await fileFrom(pdf)));
    expect(pages.map((page) => page.ref?.objectNumber)).toEqual([4, 4]);
  });
});

describe('values', () => {
  it('numbers, names, strings and references are read as written', async () => {
    const file = await fileFrom(
      pdfFromObjects({
        1: '<< /Type /Catalog /Pages 2 0 R >>',
        2: '<< /Type /Pages /Kids [] /Count 0 >>',
        3: '<< /A -12.5 /B +7 /C .25 /D 4. /A#20B#2fc (a\\(b\\)\\101\\n\\\nc) /E <48 65 6C6c6> /F[1 0 R 2 3 R5]/G --4/H null /I true /J 12 0 R >>',
      }),
    );
    const dict = (await file.object(PDFRef.of(3))) as PDFDict;
    const number = (key: string) => numberOf(dict.get(PDFName.of(key)));
    expect(['A', 'B', 'C', 'D', 'G'].map(number)).toEqual([-12.5, 7, 0.25, 4, -4]);
    expect((dict.get(PDFName.of('A#20B#2Fc')) as PDFString).decodeText()).toBe('a(b)A\nc');
    expect(TEXT((dict.get(PDFName.of('E')) as PDFString).asBytes())).toBe('Hell`');
    expect(String(dict.get(PDFName.of('F')))).toBe('[ 1 0 R 2 3 ]');
    expect(dict.has(PDFName.of('H'))).toBe(false);
    expect(dict.get(PDFName.of('J'))).toBe(PDFRef.of(12));
    expect(await file.resolved(PDFRef.of(12))).toBeUndefined();
  });

  it('what the roots lead to can be looked up without waiting, once it has been registered', async () => {
    const file = await fileFrom(
      rawPdf({
        page: '/MediaBox [0 0 9 7]',
        resources: '/Font << /F 20 0 R >>',
        objects: { 20: '<< /Z 21 0 R >>', 21: '37' },
      }),
    );
    const page = await pdfPage(file, 0);
    await file.contextFilled([page.dict]);
    const font = page.dict
      .lookup(PDFName.Resources, PDFDict)
      .lookup(PDFName.Font, PDFDict)
      .lookup(PDFName.of('F'), PDFDict);
    expect(font.lookup(PDFName.of('Z'), PDFNumber).asNumber()).toBe(37);
    expect(file.context.lookup(PDFRef.of(2))).toBeUndefined();
  });
});

describe('files that are none', () => {
  it.each([
    ['an empty file', '', 'pdf-not-a-pdf'],
    ['a text', 'Alder County Library bookmobile', 'pdf-not-a-pdf'],
    ['a header alone', '%PDF-1.7\n%%EOF\n', 'pdf-damaged'],
    ['a catalog without pages', '%PDF-1.7\n1 0 obj <</Type/Catalog>> endobj', 'pdf-damaged'],
    ['arrays without end', `%PDF-1.7\n1 0 obj ${'['.repeat(100_000)}`, 'pdf-damaged'],
  ])('%s is a problem with a remedy', async (_, text, code) => {
    const opened = await openPdfFile(byteSourceFromBytes(LATIN1(text)), { codecs: pdfCodecs });
    expect(opened.ok).toBe(false);
    if (opened.ok) return;
    expect(opened.problem.code).toBe(code);
    expect(opened.problem.message).toMatch(/^[A-Z].*\.$/);
    expect(opened.problem.remedy).toMatch(/^[A-Z].*\.$/);
  });

  it('bytes changed, lost or doubled anywhere end in an open file or a problem, never otherwise', async () => {
    const good = rawPdf({
      page: '/MediaBox [0 0 61 43]',
      resources: '/Font << /F 20 0 R >>',
      content: ['BT /F 9 Tf (map) Tj ET', '0 1 0 rg 2 3 4 5 re f'],
      objects: { 20: '<< /Type /Font /Subtype /Type1 /BaseFont /Courier /Widths 21 0 R >>', 21: '[600 600]' },
    });
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.tuple(fc.nat(good.length - 1), fc.nat(40), fc.uint8Array({ maxLength: 12 })), {
          minLength: 1,
          maxLength: 4,
        }),
        async (edits) => {
          let bytes = Buffer.from(good);
          for (const [at, removed, added] of edits) {
            bytes = Buffer.concat([bytes.subarray(0, at), added, bytes.subarray(at + removed)]);
          }
          const opened = await openPdfFile(byteSourceFromBytes(new Uint8Array(bytes)), { codecs: pdfCodecs });
          if (!opened.ok) return;
          for await (const page of pdfPages(opened.value)) await opened.value.contextFilled([page.dict]);
        },
      ),
      { numRuns: 300 },
    );
  });

  it('a medium that fails is no damaged file', async () => {
    const broken: ByteSource = { size: 500, read: () => Promise.reject(new Error('EIO')) };
    await expect(openPdfFile(broken, { codecs: pdfCodecs })).rejects.toThrow('EIO');
  });
});
