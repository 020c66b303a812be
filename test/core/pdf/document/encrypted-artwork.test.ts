import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { pdfCodecs } from '../../../../main/files/pdf-source.ts';
import { artworkFromBytes } from '../../../support/artwork-bytes.ts';
import { opened, pixelCut, renderedPair } from '../../../support/panel-check.ts';
import { colorCount, pictureDifference } from '../../../support/picture.ts';
import { qpdfDocument } from '../../../support/qpdf-json.ts';
import { rawPdf } from '../../../support/raw-pdf.ts';
import { withPdfFile } from '../../../support/tool-renderers.ts';
import { describeWithTools, runTool } from '../../../support/tools.ts';

/** Strings matter too: an Indexed space keeps its colors in one, here with brackets and a backslash in it. */
const ART = rawPdf({
  page: '/MediaBox [0 0 160 110]',
  resources:
    '/ColorSpace << /Four [/Indexed /DeviceRGB 3 (\\(Z\\\\z\\)o\\)\\007\\240 \\\\\\()] >> /Font << /F << /Type /Font /Subtype /Type1 /BaseFont /Helvetica >> >>',
  content:
    '/Four cs 0 sc 5 5 40 90 re f 1 sc 45 15 40 80 re f 2 sc 85 5 30 70 re f 3 sc 115 25 40 80 re f BT 0 g /F 30 Tf 12 50 Td (Bookmobile) Tj ET',
});

const METHODS = {
  'RC4, 40 bits': ['--allow-weak-crypto', 'USER', 'OWNER', '40', '--'],
  'RC4, 128 bits': ['--allow-weak-crypto', 'USER', 'OWNER', '128', '--use-aes=n', '--'],
  'AES, 128 bits': ['--allow-weak-crypto', 'USER', 'OWNER', '128', '--use-aes=y', '--'],
  'AES, 256 bits': ['USER', 'OWNER', '256', '--'],
  'AES, 256 bits, metadata in clear': ['USER', 'OWNER', '256', '--cleartext-metadata', '--'],
} as const;

function encrypted(
  pdf: Uint8Array,
  method: keyof typeof METHODS,
  user: string,
  owner: string,
  packed: boolean,
) {
  const args = METHODS[method].map((arg) => (arg === 'USER' ? user : arg === 'OWNER' ? owner : arg));
  const weak = args.filter((arg) => arg === '--allow-weak-crypto');
  const rest = args.filter((arg) => arg !== '--allow-weak-crypto');
  const objects = packed ? '--object-streams=generate' : '--object-streams=disable';
  return withPdfFile(pdf, (path, folder) => {
    const out = join(folder, 'encrypted.pdf');
    runTool('qpdf', [...weak, '--static-id', objects, '--encrypt', ...rest, path, out]);
    return new Uint8Array(readFileSync(out));
  });
}

describeWithTools(['qpdf'], 'ART6 encrypted artwork, made by qpdf', () => {
  for (const method of Object.keys(METHODS) as (keyof typeof METHODS)[]) {
    for (const packed of [false, true]) {
      it(`${method}${packed ? ', object streams' : ''}: opens with either password, comes out in clear`, async () => {
        const pdf = encrypted(ART, method, 'shelf mark', 'head librarian', packed);
        for (const password of ['shelf mark', 'head librarian']) {
          const done = await pixelCut(pdf, { password });
          const { source, printed } = await renderedPair(pdf, done, undefined, { password });
          expect(colorCount(source)).toBeGreaterThan(20);
          expect(pictureDifference(source, printed, { edge: 1 }).largest).toBe(0);
          expect(qpdfDocument(done.panel.bytes).isEncrypted).toBe(false);
        }
      });
    }

    it(`${method}: password missing or wrong`, async () => {
      const pdf = encrypted(ART, method, 'shelf mark', 'head librarian', true);
      expect(await artworkFromBytes(pdf, { codecs: pdfCodecs })).toMatchObject({
        ok: false,
        problem: { code: 'pdf-password-needed' },
      });
      expect(await artworkFromBytes(pdf, { codecs: pdfCodecs, password: 'Shelf mark' })).toMatchObject({
        ok: false,
        problem: { code: 'pdf-password-wrong' },
      });
    });

    it(`${method}: an empty user password needs no asking, whatever is given`, async () => {
      const pdf = encrypted(ART, method, '', 'head librarian', false);
      expect((await opened(pdf)).file.isEncrypted).toBe(true);
      expect((await opened(pdf, 'not this one')).file.isEncrypted).toBe(true);
    });
  }

  it('object and cross-reference streams, linearized or not, read the same', async () => {
    for (const args of [
      ['--object-streams=generate'],
      ['--object-streams=generate', '--linearize'],
      ['--qdf'],
    ]) {
      const pdf = withPdfFile(ART, (path, folder) => {
        const out = join(folder, 'rewritten.pdf');
        runTool('qpdf', [...args, path, out]);
        return new Uint8Array(readFileSync(out));
      });
      const done = await pixelCut(pdf);
      expect((await opened(pdf)).file.isRepaired).toBe(false);
      const { source, printed } = await renderedPair(ART, done);
      expect(pictureDifference(source, printed, { edge: 1 }).largest).toBe(0);
    }
  });
});
