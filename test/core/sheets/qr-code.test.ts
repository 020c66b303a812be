import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { prepareZXingModule, readBarcodes } from 'zxing-wasm/reader';
import {
  jobCodeText,
  panelCodeText,
  QR_QUIET_MODULES,
  qrCode,
  qrItem,
  qrModuleMm,
  sheetCodeText,
} from '../../../core/sheets/qr-code.ts';
import { bookmobileJob } from './fixture.ts';
import { blurred, rectsRendered } from './raster.ts';

beforeAll(async () => {
  const folder = join(import.meta.dirname, '../../../node_modules/zxing-wasm/dist/reader');
  const wasmBinary = readFileSync(join(folder, 'zxing_reader.wasm'));
  await prepareZXingModule({
    overrides: { wasmBinary: wasmBinary.buffer as ArrayBuffer },
    fireImmediately: true,
  });
});

describe('QR codes', () => {
  it('has the size that ISO/IEC 18004 gives version 1: 21 modules', () => {
    // The standard's worked symbol (Annex I): numeric 01234567, version 1-M. Modules differ by the mask chosen, so
    // the size is compared here and the content is decoded below.
    expect(qrCode('01234567').size).toBe(21);
    expect(QR_QUIET_MODULES).toBe(4);
  });

  for (const text of [
    '01234567',
    'Job ACL-2611',
    'Job ACL-2611 Panel LH-03',
    'Job ACL-2611 Install map 2 of 9 Layout 3f9ac1',
    'Job Straße/ÄÖ-7',
  ]) {
    it(`is read by an independent decoder at 200 ppi, blurred: ${text}`, async () => {
      const sizeMm = 24;
      const item = qrItem(qrCode(text), 0, 0, sizeMm, 'code');
      const sharp = rectsRendered(item.rects, sizeMm, sizeMm, 200);
      for (const image of [sharp, blurred(sharp, 2)]) {
        const [found] = await readBarcodes(image, { formats: ['QRCode'] });
        expect(['M', 'Q', 'H']).toContain(found?.ecLevel);
        expect(found?.text).toBe(text);
      }
    });
  }

  it('keeps the quiet zone white', () => {
    const code = qrCode('Job ACL-2611');
    const item = qrItem(code, 10, 20, 30, 'code');
    const quiet = QR_QUIET_MODULES * qrModuleMm(code, 30);
    expect(Math.min(...item.rects.map(({ x }) => x))).toBeCloseTo(10 + quiet, 9);
    expect(Math.min(...item.rects.map(({ y }) => y))).toBeCloseTo(20 + quiet, 9);
    expect(Math.max(...item.rects.map(({ x, width }) => x + width))).toBeCloseTo(40 - quiet, 9);
    expect(Math.max(...item.rects.map(({ y, height }) => y + height))).toBeCloseTo(50 - quiet, 9);
  });

  it('names job and panel, and falls back to the id of a job whose number is no short plain text', () => {
    expect(panelCodeText(bookmobileJob(), { label: 'LH-03' })).toBe('Job ACL-2611 Panel LH-03');
    expect(sheetCodeText(bookmobileJob(), 'Install map', '2 of 9', { revision: '3f9ac1' })).toBe(
      'Job ACL-2611 Install map 2 of 9 Layout 3f9ac1',
    );
    expect(jobCodeText(bookmobileJob({ number: '№ 7' }))).toBe('Job bookmobile');
    expect(jobCodeText(bookmobileJob({ number: '1'.repeat(3000) }))).toBe('Job bookmobile');
  });
});
