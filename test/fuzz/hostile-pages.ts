/** Files that were made to harm, each by one idea. */
import { constants, deflateRawSync, deflateSync } from 'node:zlib';
import { pdfFromObjects, type RawPage, rawPdf } from '../support/raw-pdf.ts';

const MEDIA = '/MediaBox [0 0 210 130]';
const page = (more: RawPage): Uint8Array => rawPdf({ page: MEDIA, ...more });
const latin1 = (text: string) => Buffer.from(text, 'latin1');
const repeated = (text: string, times: number) => text.repeat(times);

const MIB = 2 ** 20;
const ADLER_BASE = 65_521n;

/**
 * `n` equal bytes in the format of RFC 1950. Packing a thousand million takes seconds, so one mebibyte is packed and
 * repeated: a full flush ends on a byte, and what follows needs nothing of what came before (zlib manual, `deflate`).
 */
export function deflatedRepeat(byte: number, n: number): Uint8Array {
  const flush = { finishFlush: constants.Z_FULL_FLUSH };
  const block = deflateRawSync(Buffer.alloc(MIB, byte), flush);
  const rest = deflateRawSync(Buffer.alloc(n % MIB, byte));
  // Adler-32: the sum of all bytes, and the sum of all such sums, each begun with 1.
  const [count, value] = [BigInt(n), BigInt(byte)];
  const low = (1n + count * value) % ADLER_BASE;
  const high = (count + (value * count * (count + 1n)) / 2n) % ADLER_BASE;
  const check = Buffer.alloc(4);
  check.writeUInt32BE(Number(high * 65_536n + low));
  const blocks = Array.from({ length: Math.floor(n / MIB) }, () => block);
  return Buffer.concat([Buffer.from([0x78, 0x9c]), ...blocks, rest, check]);
}

/** `n` bytes of white space, packed so often that each filter in the list undoes one. */
function packedZeros(n: number, times: number): { dict: string; data: Uint8Array } {
  let data = deflatedRepeat(0x20, n);
  for (let i = 1; i < times; i++) data = deflateSync(data);
  return { dict: `/Filter [${repeated('/FlateDecode ', times)}]`, data };
}

const form = (dict: string, data: string | Uint8Array) => ({
  dict: `/Type /XObject /Subtype /Form /BBox [0 0 200 100] ${dict}`,
  data,
});

/** A chain of forms of which each places the next one ten times: 10 to the power of `depth` marks. */
function multiplyingForms(depth: number): Uint8Array {
  const objects: Record<number, ReturnType<typeof form>> = {};
  for (let i = 0; i < depth; i++) {
    const inner = `/Resources << /XObject << /X ${21 + i} 0 R >> >>`;
    objects[20 + i] = form(inner, repeated('/X Do ', 10));
  }
  objects[20 + depth] = form('', '0 0 1 1 re f');
  return page({ resources: '/XObject << /X 20 0 R >>', content: '/X Do', objects });
}

/** A file whose end is what the caller says, after sound objects. */
function withEnd(end: (startOfTable: number) => string, objects?: RawPage['objects']): Uint8Array {
  const sound = Buffer.from(page({ content: '1 0 0 rg 9 9 90 70 re f', ...(objects && { objects }) }));
  const table = sound.lastIndexOf('xref\n0');
  return Buffer.concat([sound.subarray(0, table), latin1(end(table))]);
}

const TRAILER = '<< /Size 30 /Root 1 0 R';

/**
 * LZW (ISO 32000-1, 7.4.4) in which each code means the string before it and one byte more: `tables` times
 * some seven million bytes out of six thousand.
 */
function growingLzw(tables: number): Uint8Array {
  const bits: string[] = [];
  const code = (value: number, width: number) => bits.push(value.toString(2).padStart(width, '0'));
  for (let i = 0; i < tables; i++) {
    code(256, i === 0 ? 9 : 12);
    code(0x20, 9);
    for (let next = 258; next < 4095; next++) code(next, Math.min(12, Math.floor(Math.log2(next + 1)) + 1));
  }
  const all = bits.join('');
  return Uint8Array.from({ length: all.length >> 3 }, (_, n) =>
    Number.parseInt(all.slice(n * 8, n * 8 + 8), 2),
  );
}

/** Those that are let go on for as long as the largest drawing may take: a minute's work, not a moment's. */
export const LONG_PAGES: ReadonlySet<string> = new Set([
  'forms that multiply by ten, twelve times',
  'one stream painted by a hundred names, each unpacked anew',
]);

export const HOSTILE_PAGES: Readonly<Record<string, () => Uint8Array>> = {
  'a cross-reference that names itself as the one before': () =>
    withEnd(
      (at) => `xref\n0 1\n0000000000 65535 f \ntrailer\n${TRAILER} /Prev ${at} >>\nstartxref\n${at}\n%%EOF`,
    ),
  'two cross-references that name each other': () =>
    withEnd((at) => {
      const first = `xref\n0 1\n0000000000 65535 f \ntrailer\n${TRAILER} /Prev ${at + 999} >>\n`.padEnd(999);
      return `${first}xref\n0 1\n0000000000 65535 f \ntrailer\n${TRAILER} /Prev ${at} >>\nstartxref\n${at}\n%%EOF`;
    }),
  'a cross-reference of two thousand million entries': () =>
    withEnd(
      (at) => `xref\n0 2147483647\n0000000000 65535 f \ntrailer\n${TRAILER} >>\nstartxref\n${at}\n%%EOF`,
    ),
  'a cross-reference stream of absurd widths': () =>
    withEnd(
      (at) =>
        `25 0 obj\n<< /Type /XRef /W [1 4294967295 2] /Index [0 99999999] ${TRAILER.slice(2)} /Length 3 >>\nstream\nabc\nendstream\nendobj\nstartxref\n${at}\n%%EOF`,
    ),
  'a cross-reference stream of no widths and endless entries': () =>
    withEnd(
      (at) =>
        `25 0 obj\n<< /Type /XRef /W [0 0 0] /Index [0 999999999] ${TRAILER.slice(2)} /Length 3 >>\nstream\nabc\nendstream\nendobj\nstartxref\n${at}\n%%EOF`,
    ),
  'every entry leads to the same place': () =>
    withEnd(
      (at) =>
        `xref\n0 30\n${repeated('0000000015 00000 n \n', 30)}trailer\n${TRAILER} >>\nstartxref\n${at}\n%%EOF`,
    ),
  'an object stream that holds itself': () =>
    page({
      content: '1 0 0 rg 9 9 90 70 re f',
      objects: {
        20: { dict: '/Type /ObjStm /N 1 /First 5 /Extends 20 0 R', data: '20 0 << /A 20 0 R >>' },
      },
    }),
  'an object stream of a thousand million objects': () =>
    page({ objects: { 20: { dict: '/Type /ObjStm /N 999999999 /First 4', data: '21 0 null' } } }),
  'page tree: a kid that is its own parent': () =>
    pdfFromObjects({
      1: '<< /Type /Catalog /Pages 2 0 R >>',
      2: '<< /Type /Pages /Kids [2 0 R 3 0 R 2 0 R] /Count 3 >>',
      3: `<< /Type /Page /Parent 2 0 R ${MEDIA} >>`,
    }),
  'page tree: doubles at every level': () =>
    pdfFromObjects({
      1: '<< /Type /Catalog /Pages 2 0 R >>',
      ...Object.fromEntries(
        Array.from({ length: 60 }, (_, i) => [
          2 + i,
          `<< /Type /Pages /Kids [${3 + i} 0 R ${3 + i} 0 R] /Count 2 >>`,
        ]),
      ),
      62: `<< /Type /Page /Parent 2 0 R ${MEDIA} >>`,
    }),
  'page tree: parents in a circle, nothing to inherit': () =>
    pdfFromObjects({
      1: '<< /Type /Catalog /Pages 2 0 R >>',
      2: '<< /Type /Pages /Kids [3 0 R] /Count 1 /Parent 4 0 R >>',
      3: '<< /Type /Page /Parent 4 0 R >>',
      4: '<< /Type /Pages /Kids [2 0 R] /Count 1 /Parent 2 0 R >>',
    }),
  'arrays nested a hundred thousand deep': () =>
    page({
      objects: { 20: `${repeated('[', 100_000)}${repeated(']', 100_000)}` },
      resources: '/XObject 20 0 R',
    }),
  'dictionaries nested a hundred thousand deep': () =>
    page({
      objects: { 20: `${repeated('<</A', 100_000)} 1 ${repeated('>>', 100_000)}` },
      resources: '/Font 20 0 R',
    }),
  'arrays nested deep in content': () => page({ content: `${repeated('[', 300_000)} TJ` }),
  'strings nested deep in content': () => page({ content: `${repeated('(', 300_000)}` }),
  'a chain of ten thousand references': () =>
    page({
      resources: '/XObject << /X 20 0 R >>',
      content: '/X Do',
      objects: Object.fromEntries(Array.from({ length: 10_000 }, (_, i) => [20 + i, `${21 + i} 0 R`])),
    }),
  'a reference that leads to itself': () =>
    page({ resources: '/XObject << /X 20 0 R >>', content: '/X Do', objects: { 20: '20 0 R' } }),
  'a form that places itself': () =>
    page({
      resources: '/XObject << /X 20 0 R >>',
      content: '/X Do',
      objects: { 20: form('/Resources << /XObject << /X 20 0 R >> >>', 'q 0.9 0 0 0.9 1 1 cm /X Do Q') },
    }),
  'two forms that place each other': () =>
    page({
      resources: '/XObject << /X 20 0 R >>',
      content: '/X Do',
      objects: {
        20: form('/Resources << /XObject << /X 21 0 R >> >>', '/X Do /X Do'),
        21: form('/Resources << /XObject << /X 20 0 R >> >>', '/X Do /X Do'),
      },
    }),
  'forms that multiply by ten, twelve times': () => multiplyingForms(12),
  'a chain of two thousand forms': () => {
    const objects: Record<number, ReturnType<typeof form>> = {};
    for (let i = 0; i < 2000; i++) {
      objects[20 + i] = form(`/Resources << /XObject << /X ${21 + i} 0 R >> >>`, '/X Do');
    }
    return page({ resources: '/XObject << /X 20 0 R >>', content: '/X Do', objects });
  },
  'a tiling pattern that is painted with itself': () =>
    page({
      resources: '/Pattern << /P 20 0 R >>',
      content: '/Pattern cs /P scn 0 0 200 100 re f',
      objects: {
        20: {
          dict: '/Type /Pattern /PatternType 1 /PaintType 1 /TilingType 1 /BBox [0 0 9 7] /XStep 0.00001 /YStep 0 /Resources << /Pattern << /P 20 0 R >> >>',
          data: '/Pattern cs /P scn 0 0 9 7 re f',
        },
      },
    }),
  'a soft mask that masks itself': () =>
    page({
      resources: '/ExtGState << /G << /SMask << /S /Luminosity /G 20 0 R >> >> >>',
      content: '/G gs 0 0 100 100 re f',
      objects: {
        20: form(
          '/Group << /S /Transparency /CS /DeviceGray >> /Resources << /ExtGState << /G << /SMask << /S /Luminosity /G 20 0 R >> >> >> >>',
          '/G gs 0 0 100 100 re f',
        ),
      },
    }),
  'a Type 3 glyph that shows itself': () =>
    page({
      resources: '/Font << /F 20 0 R >>',
      content: 'BT /F 20 Tf 9 9 Td (AAAA) Tj ET',
      objects: {
        20: '<< /Type /Font /Subtype /Type3 /FontBBox [0 0 1 1] /FontMatrix [1 0 0 1 0 0] /FirstChar 65 /LastChar 65 /Widths [1] /Encoding << /Differences [65 /a] >> /CharProcs << /a 21 0 R >> /Resources << /Font << /F 20 0 R >> >> >>',
        21: { data: '1 0 d0 BT /F 1 Tf (AAAA) Tj ET' },
      },
    }),
  'a color space that is its own base': () =>
    page({
      resources: '/ColorSpace << /C 20 0 R >>',
      content: '/C cs 1 scn 0 0 9 9 re f',
      objects: { 20: '[/Indexed 20 0 R 255 (x)]' },
    }),
  'a function that calls itself': () =>
    page({
      resources: '/ColorSpace << /C [/Separation /Ink /DeviceCMYK 20 0 R] >>',
      content: '/C cs 1 scn 0 0 9 9 re f',
      objects: {
        20: '<< /FunctionType 3 /Domain [0 1] /Functions [20 0 R 20 0 R] /Bounds [0.5] /Encode [0 1 0 1] >>',
      },
    }),
  'layers that contain each other': () =>
    page({
      catalog: '/OCProperties << /OCGs [20 0 R] /D << /Order [20 0 R] >> >>',
      resources: '/Properties << /L 21 0 R >>',
      content: '/OC /L BDC 0 0 9 9 re f EMC',
      objects: {
        20: '<< /Type /OCG /Name (a) >>',
        21: '<< /Type /OCMD /OCGs [20 0 R 21 0 R] /VE 22 0 R >>',
        22: '[/And 22 0 R [/Not 22 0 R]]',
      },
    }),
  'a page of a million kilometers': () =>
    rawPdf({ page: '/MediaBox [0 0 3e12 2e12]', content: '0 0 9 9 re f' }),
  'a page whose size overflows': () =>
    rawPdf({ page: `/MediaBox [0 0 ${repeated('9', 400)} 130]`, content: '0 0 9 9 re f' }),
  'a page of no size': () => rawPdf({ page: '/MediaBox [5 5 5 5]', content: '0 0 9 9 re f' }),
  'a page box of words': () => rawPdf({ page: '/MediaBox [/a (b) null true]', content: '0 0 9 9 re f' }),
  'a UserUnit beyond all sense': () => rawPdf({ page: `${MEDIA} /UserUnit 1e300`, content: '0 0 9 9 re f' }),
  'numbers that are none': () =>
    page({
      content: 'NaN Inf -Inf 1e999 --5 5.5.5 0x10 . - + re f 1e400 0 0 1e400 1e400 1e400 cm 0 0 9 9 re f',
    }),
  'matrices that overflow': () =>
    page({
      content: repeated('99999999999999999999 0 0 99999999999999999999 9 9 cm ', 40).concat('0 0 9 9 re f'),
    }),
  'zeros: a thousand million white-space bytes in one stream': () =>
    page({ objects: { 5: packedZeros(1_000_000_000, 1) }, resources: '/XObject << >>', content: '' }),
  'zeros packed three times over': () => page({ content: '', objects: { 5: packedZeros(900_000_000, 3) } }),
  'one stream painted by a hundred names, each unpacked anew': () =>
    page({
      content: '',
      objects: {
        5: { data: Array.from({ length: 100 }, (_, i) => `/X${i} Do`).join(' ') },
        3: `<< /Type /Page /Parent 2 0 R ${MEDIA} /Contents 5 0 R /Resources << /XObject << ${Array.from({ length: 100 }, (_, i) => `/X${i} ${20 + i} 0 R`).join(' ')} >> >> >>`,
        ...Object.fromEntries(
          Array.from({ length: 100 }, (_, i) => {
            const { dict, data } = packedZeros(30_000_000, 1);
            return [20 + i, form(dict, data)];
          }),
        ),
      },
    }),
  'a thousand filters': () =>
    page({
      content: '',
      objects: { 5: { dict: `/Filter [${repeated('/ASCIIHexDecode ', 1000)}]`, data: repeated('20', 5000) } },
    }),
  'a filter chain that names itself': () =>
    page({ content: '', objects: { 5: { dict: '/Filter 20 0 R', data: 'x' }, 20: '[20 0 R 20 0 R]' } }),
  'run lengths that never end': () =>
    page({
      content: '',
      objects: { 5: { dict: '/Filter /RunLengthDecode', data: repeated('\x81 ', 150_000) } },
    }),
  'LZW of one code over and over': () =>
    page({
      content: '',
      objects: { 5: { dict: '/Filter /LZWDecode', data: repeated('\x80\x0b\x60\x50', 200_000) } },
    }),
  'LZW of ever longer strings': () =>
    page({ content: '', objects: { 5: { dict: '/Filter /LZWDecode', data: growingLzw(60) } } }),
  'a predictor of absurd columns': () =>
    page({
      content: '',
      objects: {
        5: {
          dict: '/Filter /FlateDecode /DecodeParms << /Predictor 15 /Columns 2147483647 /Colors 60000 /BitsPerComponent 16 >>',
          data: deflateSync(Buffer.alloc(100)),
        },
      },
    }),
  'a length of minus one': () => lyingLength('-1'),
  'a length beyond the file': () => lyingLength('99999999999'),
  'a length that is its own stream': () => lyingLength('5 0 R'),
  'content without an end': () => page({ content: repeated('0 0 9 9 re f\n', 150_000) }),
  'paths without an end': () => page({ content: `0 0 m ${repeated('9 9 l 8 7 6 5 4 3 c ', 300_000)} f` }),
  'saves without an end': () => page({ content: repeated('q ', 300_000) }),
  'marked content without an end': () => page({ content: repeated('/A BMC ', 400_000) }),
  'an inline image without an end': () =>
    page({ content: `BI /W 9999999 /H 9999999 /BPC 8 /CS /RGB ID ${repeated('x', 100_000)}` }),
  'inline images one after the other': () =>
    page({ content: repeated('BI /W 1 /H 1 /BPC 8 /CS /G ID x EI ', 15_000) }),
  'an image of absurd size': () =>
    page({
      resources: '/XObject << /I 20 0 R >>',
      content: 'q 200 0 0 100 0 0 cm /I Do Q',
      objects: {
        20: {
          dict: '/Subtype /Image /Width 2147483647 /Height 2147483647 /ColorSpace /DeviceCMYK /BitsPerComponent 16 /Filter /FlateDecode',
          data: deflateSync(Buffer.alloc(10_000_000)),
        },
      },
    }),
  'an image whose soft mask is itself': () =>
    page({
      resources: '/XObject << /I 20 0 R >>',
      content: 'q 200 0 0 100 0 0 cm /I Do Q',
      objects: {
        20: {
          dict: '/Subtype /Image /Width 9 /Height 7 /ColorSpace /DeviceGray /BitsPerComponent 8 /SMask 20 0 R /Mask 20 0 R /Alternates [<< /Image 20 0 R >>]',
          data: Buffer.alloc(63, 0x55),
        },
      },
    }),
  'a name of ten million letters': () => page({ content: `/${repeated('n', 10_000_000)} gs` }),
  'text of ten million letters': () =>
    page({
      resources: '/Font << /F << /Type /Font /Subtype /Type1 /BaseFont /Helvetica >> >>',
      content: `BT /F 9 Tf 9 9 Td (${repeated('A', 10_000_000)}) Tj ET`,
    }),
  'a character map that covers everything many times': () =>
    page({
      resources: '/Font << /F 20 0 R >>',
      content: 'BT /F 9 Tf 9 9 Td <00410042> Tj ET',
      objects: {
        20: '<< /Type /Font /Subtype /Type0 /BaseFont /A /Encoding 21 0 R /ToUnicode 21 0 R /DescendantFonts [<< /Type /Font /Subtype /CIDFontType2 /BaseFont /A /CIDSystemInfo << >> /W [0 4294967295 500] >>] >>',
        21: {
          dict: '/Type /CMap /UseCMap 21 0 R',
          data: `1 begincodespacerange <00000000> <ffffffff> endcodespacerange 9 beginbfrange ${repeated('<00000000> <ffffffff> <0041> ', 9)} endbfrange 9 begincidrange ${repeated('<00000000> <ffffffff> 0 ', 9)} endcidrange`,
        },
      },
    }),
  'encryption of unknown kinds': () =>
    page({
      content: '0 0 9 9 re f',
      trailer: '/Encrypt << /Filter /Standard /V 99 /R 99 /Length 99999999 /O () /U () /P 0 >> /ID [() ()]',
    }),
  'encryption that refers to itself': () =>
    page({
      content: '',
      trailer: '/Encrypt 20 0 R /ID [(a) (b)]',
      objects: { 20: '<< /Filter 20 0 R /V 20 0 R /R 20 0 R /CF 20 0 R /O 20 0 R /U 20 0 R >>' },
    }),
  'an XMP packet of entities': () =>
    page({
      catalog: '/Metadata 20 0 R',
      objects: {
        20: {
          dict: '/Type /Metadata /Subtype /XML',
          data: `<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa">${Array.from({ length: 9 }, (_, i) => `<!ENTITY b${i} "${repeated(i === 0 ? '&a;' : `&b${i - 1};`, 10)}">`).join('')}]><x>&b8;</x>`,
        },
      },
    }),
  'a header and nothing': () => latin1('%PDF-1.7\n'),
  nothing: () => new Uint8Array(),
  'headers without an end': () => latin1(repeated('%PDF-1.7\n1 0 obj\n', 30_000)),
  'objects without an end': () =>
    latin1(`%PDF-1.7\n${repeated('1 0 obj\n<< /A 1 0 R >>\nendobj\n', 50_000)}`),
  'streams without an end': () =>
    latin1(`%PDF-1.7\n${repeated('1 0 obj << /Length 2 0 R >> stream\n', 60_000)}`),
};

function lyingLength(length: string): Uint8Array {
  const sound = Buffer.from(page({ content: '1 0 0 rg 9 9 90 70 re f' })).toString('latin1');
  return latin1(sound.replace(/\/Length \d+/, `/Length ${length}`));
}
