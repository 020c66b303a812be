import { copyFileSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { demoArtPath } from '../support/demo-art.ts';
import { describeWithTools, runTool } from '../support/tools.ts';

const SLOW_MS = 60_000;

describeWithTools(['qpdf', 'gs', 'mutool'], 'demo artwork, read by other programs', () => {
  let folder = '';

  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'panelwright-art-'));
    copyFileSync(demoArtPath('bookmobile'), join(folder, 'bookmobile.pdf'));
    copyFileSync(demoArtPath('trailer'), join(folder, 'trailer.pdf'));
  }, SLOW_MS);
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  it.each(['bookmobile.pdf', 'trailer.pdf'])('%s passes the structure check of qpdf', (file) => {
    expect(runTool('qpdf', ['--check', join(folder, file)]).toString()).toContain(
      'No syntax or stream encoding errors',
    );
  });

  it(
    'gives Ghostscript a plate of its own for the spot color, with something on it',
    () => {
      const plates = join(folder, 'plates.tif');
      runTool('gs', [
        '-q',
        '-dNOPAUSE',
        '-dBATCH',
        '-dSAFER',
        '-sDEVICE=tiffsep',
        '-sCompression=none',
        '-r18',
        '-dLastPage=1',
        `-sOutputFile=${plates}`,
        join(folder, 'bookmobile.pdf'),
      ]);
      const names = readdirSync(folder).filter((name) => name.startsWith('plates('));
      expect(names.sort()).toEqual(
        ['ACL Alder Red', 'Black', 'Cyan', 'Magenta', 'Yellow'].map((ink) => `plates(${ink}).tif`),
      );
      const plate = readFileSync(join(folder, 'plates(ACL Alder Red).tif'));
      // Plates are gray: 255 is bare film, 0 is full ink. The road alone covers more than one part in 200.
      const inked = plate.reduce((count, value) => count + (value === 0 ? 1 : 0), 0);
      expect(inked).toBeGreaterThan(plate.length / 200);
    },
    SLOW_MS,
  );

  it('shows the template layer, whose lines are the only pure cyan, only when it is switched on', () => {
    const hidden = join(folder, 'bookmobile.pdf');
    const shown = join(folder, 'shown.pdf');
    const file = readFileSync(hidden, 'latin1');
    expect(file.match(/\/OFF \[/g)).toHaveLength(1);
    writeFileSync(shown, file.replace('/OFF [', '/ON  ['), 'latin1');
    expect(pureCyan(hidden)).toBe(0);
    expect(pureCyan(shown)).toBeGreaterThan(100);
  });
});

/** Pixels of the first page, in process inks, that carry cyan and next to nothing else. */
function pureCyan(file: string): number {
  const args = ['draw', '-q', '-r', '36', '-c', 'cmyk', '-F', 'pam', '-o', '-', file, '1'];
  const picture = runTool('mutool', args);
  const header = picture.indexOf('ENDHDR\n') + 'ENDHDR\n'.length;
  expect(picture.toString('latin1', 0, header)).toContain('DEPTH 4');
  let pixels = 0;
  for (let i = header; i + 3 < picture.length; i += 4) {
    const [c = 0, m = 0, y = 0, k = 0] = picture.subarray(i, i + 4);
    if (c > 40 && m + y + k < 8) pixels += 1;
  }
  return pixels;
}
