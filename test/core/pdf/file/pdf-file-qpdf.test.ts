/** Held against qpdf, a parser of its own: the same objects, the same data, whatever the file's structure. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { deflateSync } from 'node:zlib';
import {
  PDFArray,
  PDFBool,
  PDFDict,
  PDFHexString,
  PDFName,
  PDFNumber,
  type PDFObject,
  PDFRef,
  PDFStream,
  PDFString,
} from 'pdf-lib';
import { expect, it } from 'vitest';
import { openPdfFile, type PdfFile } from '../../../../core/pdf/file/pdf-file.ts';
import { pdfCodecs } from '../../../../main/files/pdf-source.ts';
import { byteSourceFromBytes } from '../../../support/artwork-bytes.ts';
import { pdfFromObjects } from '../../../support/raw-pdf.ts';
import { withPdfFile } from '../../../support/tool-renderers.ts';
import { describeWithTools, runTool } from '../../../support/tools.ts';
import { fileFrom } from './file-support.ts';

const ROWS = Uint8Array.from({ length: 600 }, (_, i) => (i * 7 + (i >> 3) * 5) & 255);

/** PNG rows with each of the five filters, over rows of 30 bytes (10 pixels of 3 components). */
function pngPredicted(rows: Uint8Array): Uint8Array {
  const width = 30;
  const out: number[] = [];
  for (let row = 0; row * width < rows.length; row++) {
    const filter = row % 5;
    out.push(filter);
    for (let i = 0; i < width; i++) {
      const at = row * width + i;
      const left = i >= 3 ? rows[at - 3]! : 0;
      const up = row > 0 ? rows[at - width]! : 0;
      const corner = row > 0 && i >= 3 ? rows[at - width - 3]! : 0;
      const estimate = left + up - corner;
      const [dl, du, dc] = [Math.abs(estimate - left), Math.abs(estimate - up), Math.abs(estimate - corner)];
      const paeth = dl <= du && dl <= dc ? left : du <= dc ? up : corner;
      out.push(rows[at]! - [0, left, up, (left + up) >> 1, paeth][filter]!);
    }
  }
  return Uint8Array.from(out);
}

const tiffPredicted = (rows: Uint8Array): Uint8Array =>
  rows.map((value, at) => (at % 30 >= 3 ? value - rows[at - 3]! : value));

/** Something of every kind of object and filter. */
const SOURCE = pdfFromObjects({
  1: '<< /Type /Catalog /Pages 2 0 R /Lang (en-GB) >>',
  2: '<< /Type /Pages /Kids [3 0 R] /Count 1 /MediaBox [-7 3.5 205 91] >>',
  3: '<< /Type /Page /Parent 2 0 R /Contents [4 0 R 5 0 R] /Resources 6 0 R >>',
  4: { data: '0.25 0 0 0.75 k 3 5 20 11 re f' },
  5: { dict: '/Filter /FlateDecode', data: deflateSync('1 0 0 RG 2 w 1 2 m 3 4 l S') },
  6: '<< /ColorSpace << /Signal [/Separation /Signal#20Red /DeviceCMYK 7 0 R] >> /XObject << /A 8 0 R /B 9 0 R /C 10 0 R >> >>',
  7: { dict: '/FunctionType 4 /Domain [0 1] /Range [0 1 0 1 0 1 0 1]', data: '{ 0 exch dup 0 }' },
  8: {
    dict: '/Filter /FlateDecode /DecodeParms << /Predictor 15 /Columns 10 /Colors 3 >> /N (\\050nested (brackets)\\051 \\\\)',
    data: deflateSync(pngPredicted(ROWS)),
  },
  9: {
    dict: '/Filter [/ASCIIHexDecode /FlateDecode] /DecodeParms [null << /Predictor 2 /Columns 10 /Colors 3 >>]',
    data: `${deflateSync(tiffPredicted(ROWS)).toString('hex')}>`,
  },
  10: { dict: '/Filter /RunLengthDecode /X [true false null <00ff> -0.125]', data: '\x02abc\xfez\x00!\x80' },
  11: {
    dict: '/Filter /ASCII85Decode',
    data: '9jqo^BlbD-BleB1DJ+*+F(f,q/0JhKF<GL>Cj@.4Gp$d7F!,L7@<6@)/0JDEF<G%<+EV:2F!,~>',
  },
});

const variant = (args: readonly string[]): Uint8Array =>
  withPdfFile(SOURCE, (path, folder) => {
    const out = join(folder, 'out.pdf');
    runTool('qpdf', ['--warning-exit-0', ...args, path, out]);
    return new Uint8Array(readFileSync(out));
  });

type Plain = null | boolean | number | string | Plain[] | { [key: string]: Plain };

/** A string as its bytes, whichever way qpdf chose to print it. */
const bytesPlain = (bytes: Uint8Array): string => `bytes:${Buffer.from(bytes).toString('hex')}`;

function plain(object: PDFObject | undefined): Plain {
  if (object instanceof PDFNumber) return object.asNumber();
  if (object instanceof PDFBool) return object.asBoolean();
  if (object instanceof PDFName) return `/${object.decodeText()}`;
  if (object instanceof PDFString || object instanceof PDFHexString) return bytesPlain(object.asBytes());
  if (object instanceof PDFRef) return `${object.objectNumber} ${object.generationNumber} R`;
  if (object instanceof PDFArray) return object.asArray().map(plain);
  const dict = object instanceof PDFStream ? object.dict : object;
  if (!(dict instanceof PDFDict)) return null;
  const entries = dict
    .entries()
    .filter(([key]) => !STREAM_KEYS.has(key.decodeText()) || !(object instanceof PDFStream));
  return Object.fromEntries(
    entries.flatMap(([key, value]) =>
      plain(value) === null ? [] : [[`/${key.decodeText()}`, plain(value)]],
    ),
  );
}

const STREAM_KEYS = new Set(['Length', 'Filter', 'DecodeParms']);

function qpdfPlain(value: Plain, isStream = false): Plain {
  if (typeof value === 'string' && value.startsWith('u:')) {
    const text = value.slice(2);
    const isLatin = [...text].every((char) => char.charCodeAt(0) < 256);
    return bytesPlain(isLatin ? Buffer.from(text, 'latin1') : Buffer.from(text, 'utf16le').swap16());
  }
  if (typeof value === 'string' && value.startsWith('b:')) return `bytes:${value.slice(2)}`;
  if (Array.isArray(value)) return value.map((item) => qpdfPlain(item));
  if (value === null || typeof value !== 'object') return value;
  return Object.fromEntries(
    Object.entries(value)
      .filter(([key, item]) => item !== null && !(isStream && STREAM_KEYS.has(key.slice(1))))
      .map(([key, item]) => [key, qpdfPlain(item)]),
  );
}

interface QpdfObject {
  readonly value?: Plain;
  readonly stream?: { readonly dict: Plain; readonly data: string };
}

function qpdfObjects(pdf: Uint8Array, password?: string): Map<number, QpdfObject> {
  const secret = password === undefined ? [] : [`--password=${password}`];
  const options = ['--json=2', '--json-stream-data=inline', '--decode-level=specialized', '--warning-exit-0'];
  const json = withPdfFile(pdf, (path) => runTool('qpdf', [...options, ...secret, path]));
  const objects = (JSON.parse(json.toString()) as { qpdf: [unknown, Record<string, QpdfObject>] }).qpdf[1];
  const numbered = Object.entries(objects).flatMap(([key, object]) => {
    const number = /^obj:(\d+) /.exec(key)?.[1];
    return number === undefined ? [] : [[Number(number), object] as const];
  });
  return new Map(numbered);
}

async function expectSame(file: PdfFile, objects: ReadonlyMap<number, QpdfObject>): Promise<void> {
  expect(objects.size).toBeGreaterThan(9);
  for (const [number, expected] of objects) {
    const object = await file.object(PDFRef.of(number));
    if (expected.stream === undefined) {
      expect(plain(object), `object ${number}`).toEqual(qpdfPlain(expected.value ?? null));
      continue;
    }
    expect(object, `object ${number}`).toBeInstanceOf(PDFStream);
    expect(plain(object), `object ${number}`).toEqual(qpdfPlain(expected.stream.dict, true));
    const { bytes, remaining } = await file.streamDecoded(object as PDFStream);
    expect(remaining).toEqual([]);
    expect(Buffer.from(bytes).toString('base64'), `data of object ${number}`).toBe(expected.stream.data);
  }
}

describeWithTools(['qpdf'], 'the same objects as qpdf finds', () => {
  it.each([
    ['a table', ['--object-streams=disable']],
    ['a cross-reference stream and object streams', ['--object-streams=generate']],
    ['a linearized file', ['--linearize']],
    ['a linearized file with object streams', ['--linearize', '--object-streams=generate']],
    [
      'data packed with predictors',
      ['--recompress-flate', '--compress-streams=y', '--object-streams=generate'],
    ],
  ])('%s', async (_, args) => {
    const pdf = variant(args);
    const file = await fileFrom(pdf);
    expect(file.isRepaired).toBe(false);
    await expectSame(file, qpdfObjects(pdf));
  });

  it('as written by hand, RD6 with every filter', async () => {
    const file = await fileFrom(SOURCE);
    await expectSame(file, qpdfObjects(SOURCE));
    const image = (await file.object(PDFRef.of(8))) as PDFStream;
    expect((await file.streamDecoded(image)).bytes).toEqual(ROWS);
  });

  it('an update appended to a file with object streams, and a hybrid file', async () => {
    const base = Buffer.from(variant(['--object-streams=generate']));
    const before = /startxref\n(\d+)/.exec(base.toString('latin1'))![1]!;
    const numbers = [...qpdfObjects(new Uint8Array(base)).keys()];
    const free = Math.max(...numbers) + 1;
    const root = /\/Root (\d+) 0 R/.exec(base.toString('latin1'))![1]!;
    // The classic table hides one object from old readers; XRefStm shows it to new ones.
    const changed = `${free} 0 obj\n<< /Added (by the update) >>\nendobj\n`;
    const stream = Buffer.from([1, base.length >> 16, (base.length >> 8) & 255, base.length & 255, 0]);
    const xrefStream = Buffer.concat([
      Buffer.from(
        `${free + 1} 0 obj\n<< /Type /XRef /W [1 3 1] /Index [${free} 1] /Size ${free + 2} /Root ${root} 0 R /Length 5 >>\nstream\n`,
      ),
      stream,
      Buffer.from('\nendstream\nendobj\n'),
    ]);
    const streamAt = base.length + changed.length;
    const tableAt = streamAt + xrefStream.length;
    const line = `${String(streamAt).padStart(10, '0')} 00000 n \n`;
    const tail = `xref\n${free + 1} 1\n${line}trailer\n<< /Size ${free + 2} /Root ${root} 0 R /XRefStm ${streamAt} /Prev ${before} >>\nstartxref\n${tableAt}\n%%EOF\n`;
    const pdf = new Uint8Array(Buffer.concat([base, Buffer.from(changed), xrefStream, Buffer.from(tail)]));
    const file = await fileFrom(pdf);
    expect(file.isRepaired).toBe(false);
    expect(plain(await file.object(PDFRef.of(free)))).toEqual({
      '/Added': bytesPlain(Buffer.from('by the update')),
    });
    const objects = qpdfObjects(pdf);
    objects.delete(free + 1);
    await expectSame(file, objects);
  });
});

const USER = 'Straße 7';
const OWNER = 'alder';

describeWithTools(['qpdf'], 'protected files', () => {
  it.each([
    ['RC4, 40 bits (revision 2)', ['--allow-weak-crypto'], ['40']],
    ['RC4, 128 bits (revision 3)', ['--allow-weak-crypto'], ['128', '--use-aes=n']],
    ['AES, 128 bits (revision 4)', ['--allow-weak-crypto'], ['128', '--use-aes=y']],
    [
      'AES, 128 bits, metadata in clear',
      ['--allow-weak-crypto'],
      ['128', '--use-aes=y', '--cleartext-metadata'],
    ],
    ['AES, 256 bits (revision 5)', ['--allow-weak-crypto'], ['256', '--force-R5']],
    ['AES, 256 bits (revision 6)', [], ['256']],
  ])('%s: both passwords open it, no other does', async (_, global, method) => {
    for (const streams of ['disable', 'generate']) {
      // Only revisions 5 and 6 take passwords outside ASCII the same way everywhere.
      const user = method[0] === '256' ? USER : 'route 7';
      const pdf = variant([
        ...global,
        `--object-streams=${streams}`,
        '--encrypt',
        user,
        OWNER,
        ...method,
        '--',
      ]);
      const objects = qpdfObjects(pdf, user);
      for (const password of [user, OWNER]) {
        const file = await fileFrom(pdf, password);
        expect(file.isEncrypted).toBe(true);
        const encrypt = file.trailer.get(PDFName.of('Encrypt'));
        if (encrypt instanceof PDFRef) objects.delete(encrypt.objectNumber);
        await expectSame(file, objects);
      }
      const open = (password?: string) =>
        openPdfFile(byteSourceFromBytes(pdf), { codecs: pdfCodecs, password });
      expect(await open('nope')).toMatchObject({ ok: false, problem: { code: 'pdf-password-wrong' } });
      expect(await open()).toMatchObject({ ok: false, problem: { code: 'pdf-password-needed' } });
    }
  });

  it('a file that only an owner password protects opens without one; its data come in pieces too', async () => {
    for (const method of [['128', '--use-aes=n'], ['128', '--use-aes=y'], ['256']]) {
      const pdf = variant(['--allow-weak-crypto', '--encrypt', '', OWNER, ...method, '--']);
      const file = await fileFrom(pdf);
      const image = (await file.object(PDFRef.of(await numberOfImage(file)))) as PDFStream;
      const whole = await file.streamBytes(image);
      for (const size of [1, 16, 37, 10_000]) {
        const parts: Uint8Array[] = [];
        for await (const part of file.streamChunks(image, size)) parts.push(part.slice());
        expect(Buffer.concat(parts).equals(whole)).toBe(true);
      }
      await expectSame(file, withoutEncrypt(file, qpdfObjects(pdf)));
    }
  });
});

async function numberOfImage(file: PdfFile): Promise<number> {
  for (const [number] of file.table.entries()) {
    const object = await file.object(PDFRef.of(number));
    if (object instanceof PDFStream && object.dict.has(PDFName.of('N'))) return number;
  }
  throw new Error('The image is gone');
}

function withoutEncrypt(file: PdfFile, objects: Map<number, QpdfObject>): Map<number, QpdfObject> {
  const encrypt = file.trailer.get(PDFName.of('Encrypt'));
  if (encrypt instanceof PDFRef) objects.delete(encrypt.objectNumber);
  return objects;
}
