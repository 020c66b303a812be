import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type BitCode,
  BLACK_RUNS,
  HORIZONTAL,
  PASS,
  VERTICAL,
  WHITE_RUNS,
} from '../../../../core/pdf/images/ccitt-codes.ts';
import type { ChangeLine } from '../../../../core/pdf/images/ccitt-line.ts';
import { type CcittParms, CcittReader } from '../../../../core/pdf/images/ccitt-reader.ts';
import { describeWithTools, runTool } from '../../../support/tools.ts';
import { bytesFromBits } from './byte-codings.ts';
import { codeText, EOL, group4, lineCoded, type Picture, pictureMade } from './fax-made.ts';

function textFrom({ at, count, width }: ChangeLine): string {
  let text = '';
  for (let i = 0; i <= count; i++)
    text += (i % 2 === 0 ? 'W' : 'B').repeat((i < count ? at[i]! : width) - text.length);
  return text;
}

function pictureRead(data: Uint8Array, parms: CcittParms, height: number): Picture {
  const reader = new CcittReader(data, parms);
  return Array.from({ length: height }, () => {
    const line = reader.next();
    return line ? textFrom(line) : 'none';
  });
}

const pictures = fc
  .record({
    width: fc.integer({ min: 1, max: 300 }),
    height: fc.integer({ min: 1, max: 20 }),
    seed: fc.nat(),
  })
  .map(({ width, height, seed }) => pictureMade(width, height, seed));

describe('Fax-coded images', () => {
  it('have codes none of which begins another: T.4 leaves only the codes that begin with seven zeros', () => {
    // Kraft's sum: with all codes of a table, what is left over is the room of EOL and of the unused codes.
    const room = (codes: readonly BitCode[]): number =>
      codes.reduce((sum, { length }) => sum + (length === 0 ? 0 : 2 ** -length), 0);
    for (const { terminating, makeUp } of [WHITE_RUNS, BLACK_RUNS]) {
      const codes = [...terminating, ...makeUp.slice(1)];
      expect(codes).toHaveLength(64 + 40);
      expect(isPrefixFree(codes)).toBe(true);
    }
    for (const { terminating, makeUp } of [WHITE_RUNS, BLACK_RUNS]) {
      expect(room([...terminating, ...makeUp.slice(1, 28)])).toBe(1 - 2 ** -7);
    }
    expect(isPrefixFree([PASS, HORIZONTAL, ...VERTICAL])).toBe(true);
    expect(room([PASS, HORIZONTAL, ...VERTICAL])).toBe(1 - 2 / 128);
  });

  it('read what Group 4 wrote, cut to any columns', () => {
    fc.assert(
      fc.property(pictures, fc.nat(), fc.nat(), (picture, a, b) => {
        const full = picture[0]!.length;
        const left = a % full;
        const width = 1 + (b % (full - left));
        const read = pictureRead(
          group4(picture, left, width),
          { k: -1, columns: width, isByteAligned: false },
          picture.length + 1,
        );
        expect(read).toEqual([...picture.map((line) => line.slice(left, left + width)), 'none']);
      }),
      { numRuns: 200, seed: 20300 },
    );
  });

  it('read one-dimensional lines with and without end-of-line codes, fill bits and byte alignment', () => {
    const align = (text: string): string => text.padEnd(Math.ceil(text.length / 8) * 8, '0');
    fc.assert(
      fc.property(pictures, fc.constantFrom('bare', 'eol', 'fill', 'aligned', 'tagged'), (picture, style) => {
        let text = '';
        for (const line of picture) {
          if (style === 'eol') text += EOL;
          // Fill bits so that the code ends on a byte's edge, as TIFF and fax machines do.
          if (style === 'fill')
            text = `${text.padEnd(Math.ceil((text.length + 12) / 8) * 8 - 12, '0')}${EOL}`;
          if (style === 'aligned') text = align(text);
          if (style === 'tagged') text += `${EOL}1`;
          text += lineCoded(line);
        }
        if (style !== 'bare' && style !== 'aligned') text += (style === 'tagged' ? `${EOL}1` : EOL).repeat(6);
        const parms = {
          k: style === 'tagged' ? 4 : 0,
          columns: picture[0]!.length,
          isByteAligned: style === 'aligned',
        };
        expect(pictureRead(bytesFromBits(text), parms, picture.length)).toEqual(picture);
      }),
      { numRuns: 200, seed: 20301 },
    );
  });

  it('never patch up damaged lines', () => {
    const coded = group4(pictureMade(200, 30, 3), 0, 200);
    const parms = { k: -1, columns: 200, isByteAligned: false };
    expect(() => pictureRead(coded.subarray(0, coded.length >> 1), parms, 30)).toThrow();
    fc.assert(
      fc.property(fc.nat(coded.length - 1), fc.nat(255), (at, value) => {
        try {
          expect(pictureRead(coded.with(at, value), parms, 30)).toHaveLength(30);
        } catch (error) {
          expect((error as Error).name).toBe('ImageFault');
        }
      }),
      { numRuns: 200, seed: 20302 },
    );
  });
});

describeWithTools(['gs'], 'Fax-coded images against Ghostscript', () => {
  for (const [device, k] of [
    ['faxg3', 0],
    ['faxg32d', 4],
    ['faxg4', -1],
  ] as const) {
    it(`read what its ${device} device writes`, () => {
      for (const [width, height, seed] of [
        [333, 41, 1],
        [1728, 30, 2],
        [5400, 12, 3],
      ] as const) {
        const picture = pictureMade(width, height, seed);
        const data = faxFromGhostscript(device, picture);
        expect(pictureRead(data, { k, columns: width, isByteAligned: false }, height)).toEqual(picture);
      }
    });
  }
});

function faxFromGhostscript(device: string, picture: Picture): Uint8Array {
  const [width, height] = [picture[0]!.length, picture.length];
  const hex = picture.map((line) =>
    Buffer.from(bytesFromBits(line.replaceAll('W', '1').replaceAll('B', '0'))).toString('hex'),
  );
  const program = `${width} ${height} 1 [1 0 0 -1 0 ${height}] currentfile /ASCIIHexDecode filter image\n${hex.join('\n')}>\nshowpage\n`;
  const folder = mkdtempSync(join(tmpdir(), 'panelwright-fax-'));
  try {
    writeFileSync(join(folder, 'in.ps'), program);
    const page = [
      `-g${width}x${height}`,
      '-r72',
      `-sDEVICE=${device}`,
      '-dAdjustWidth=0',
      '-dMinFeatureSize=0',
    ];
    runTool('gs', [
      '-q',
      '-dBATCH',
      '-dNOPAUSE',
      '-dSAFER',
      ...page,
      `-sOutputFile=${folder}/out`,
      `${folder}/in.ps`,
    ]);
    return new Uint8Array(readFileSync(join(folder, 'out')));
  } finally {
    rmSync(folder, { recursive: true });
  }
}

const isPrefixFree = (codes: readonly BitCode[]): boolean => {
  const texts = codes.map(codeText);
  return texts.every((a, i) => texts.every((b, j) => i === j || !b.startsWith(a)));
};
