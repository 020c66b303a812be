/** Files of other people, real and hostile: their pages become inks, or a problem says why not. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { writePlates } from '../../../core/ink/plate-document.ts';
import { PLATE_PASSES } from '../../../core/ink/plate-spaces.ts';
import { isPdfProblem } from '../../../core/pdf/file/pdf-problem.ts';
import { flateCodec } from '../../../main/cut/flate.ts';
import { pdfCodecs } from '../../../main/files/pdf-source.ts';
import { artworkFromBytes } from '../../support/artwork-bytes.ts';

const corpus = process.env.PANELWRIGHT_CORPUS;
const files = corpus === undefined ? [] : readdirSync(corpus).filter((name) => name.endsWith('.pdf'));
const PAGES = 2;

describe.skipIf(files.length === 0)('inks of real files [needs PANELWRIGHT_CORPUS]', () => {
  it.each(files)('%s', async (name) => {
    const artwork = await artworkFromBytes(new Uint8Array(readFileSync(join(corpus!, name))), {
      codecs: pdfCodecs,
    });
    if (!artwork.ok) return expect(artwork.problem.remedy).not.toBe('');
    for (const [index] of artwork.value.pages.slice(0, PAGES).entries()) {
      for (const pass of PLATE_PASSES) {
        let bytes = 0;
        const write = (part: Uint8Array): void => {
          bytes += part.length;
        };
        const output = { write, rewind: () => undefined };
        try {
          await writePlates(artwork.value, index + 1, pass, output, { flate: flateCodec() });
          expect(bytes).toBeGreaterThan(300);
        } catch (error) {
          if (!isPdfProblem(error)) throw error;
          expect(error.message).not.toBe('');
        }
      }
    }
  });
});
