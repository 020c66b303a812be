import { readFileSync } from 'node:fs';
import Ajv from 'ajv/dist/2020.js';
import { describe, expect, it } from 'vitest';
import { fileNameStem, panelFileName } from '../../../core/output/file-name.ts';
import type { Manifest } from '../../../core/output/manifest.ts';
import { panelTableCsv } from '../../../core/output/panel-table.ts';
import { PUBLISHED_SCHEMAS } from '../../../core/output/published-schemas.ts';

const published = (file: string) =>
  JSON.parse(readFileSync(new URL(`../../../assets/${file}`, import.meta.url), 'utf8')) as object;

const MANIFEST: Manifest = {
  format: 'panelwright-manifest',
  version: 1,
  program: { name: 'Panelwright', version: '0.1.0' },
  job: {
    id: 'j',
    number: '=BM,"7"',
    name: 'Bookmobile',
    customer: 'Alder County Library',
    date: '2026-03-09',
  },
  artwork: { fileName: 'van.pdf', sha256: 'a'.repeat(64), sizeBytes: 123 },
  outputSize: { kind: 'reduction', factor: 4 },
  panels: [
    {
      file: 'panels/BM_LH-01_enlarge-x4.pdf',
      label: 'LH-01',
      panelId: 'p1',
      sideId: 's',
      sideCode: 'LH',
      installOrder: 1,
      finishedBox: { xMm: 0, yMm: 0, widthMm: 1330, heightMm: 1300.00049 },
      printedBox: { xMm: -50, yMm: -50, widthMm: 1395, heightMm: 1400 },
      filmBox: { xMm: -80, yMm: -80, widthMm: 1455, heightMm: 1460 },
      source: { page: 1, box: 'trim', windowDrawnMm: { xMm: 0, yMm: 0, widthMm: 139.5, heightMm: 140 } },
      scale: 10,
      enlargeBy: 4,
      notes: [],
    },
  ],
  files: [{ file: 'panels/BM_LH-01_enlarge-x4.pdf', kind: 'panel', sha256: 'b'.repeat(64), sizeBytes: 99 }],
  acknowledgements: [],
};

describe('the manifest', () => {
  it('is published as JSON Schema, which an independent validator accepts it by', () => {
    const validate = new Ajv({ strict: false }).compile(published('manifest.schema.json'));
    expect(validate(MANIFEST)).toBe(true);
    const strip = {
      file: 'strips/BM_roll-1_strip-01.pdf',
      number: 1,
      roll: 'Roll 1',
      fromMm: 200,
      widthMm: 1504,
      lengthMm: 2915,
      enlargeBy: 1,
      notes: [],
      panels: [{ label: 'LH-01', panelId: 'p1', xMm: 0, yMm: 0, turned: true }],
    };
    expect(validate({ ...MANIFEST, strips: [strip] })).toBe(true);
    expect(validate({ ...MANIFEST, strips: [{ ...strip, lengthMm: 0 }] })).toBe(false);
    expect(validate({ ...MANIFEST, version: 2 })).toBe(false);
    expect(validate({ ...MANIFEST, panels: [{ ...MANIFEST.panels[0], enlargeBy: 0 }] })).toBe(false);
  });

  it('gives a table by RFC 4180 that no spreadsheet takes for formulas', () => {
    const [head, row, end] = panelTableCsv(MANIFEST).split('\r\n');
    expect(head).toMatch(/^job,panel,side,install_order,/);
    expect(row).toBe(
      `"'=BM,""7""",LH-01,LH,1,1330,1300,1395,1400,1455,1460,4,panels/BM_LH-01_enlarge-x4.pdf`,
    );
    expect(end).toBe('');
  });
});

describe('published schemas', () => {
  it.each(Object.entries(PUBLISHED_SCHEMAS))('%s is as the program has it', (file, schema) => {
    // When this fails, the format has changed: write the schema anew with `npm run schemas`, and think of its version.
    expect(published(file)).toEqual(schema());
  });

  it('of the job takes the demo jobs, and nothing with a seam that is misspelt', () => {
    const validate = new Ajv({ strict: false, validateFormats: false }).compile(published('job.schema.json'));
    for (const file of ['bookmobile.job.json', 'outreach-trailer.job.json']) {
      const job = published(`demo/${file}`);
      expect(validate(job), JSON.stringify(validate.errors)).toBe(true);
      const misspelt = JSON.parse(JSON.stringify(job).replace('"atMm"', '"posMm"')) as object;
      expect(validate(misspelt)).toBe(false);
    }
  });
});

describe('file names', () => {
  it.each([
    ['BM-117', 'BM-117'],
    ['Bücherbus / 7', 'Bucherbus-7'],
    ['../../etc', 'etc'],
    ['con', '_con'],
    ['…', 'job'],
    ['🚐', 'job'],
    ['a'.repeat(99), 'a'.repeat(60)],
    ['trailing. ', 'trailing'],
    ['a\u0000b', 'a-b'],
  ])('of %j are %j', (text, stem) => {
    expect(fileNameStem(text)).toBe(stem);
  });

  it('carry the factor that production must enlarge by', () => {
    expect(panelFileName('BM-117', 'LH-03', 1)).toBe('BM-117_LH-03.pdf');
    expect(panelFileName('BM-117', 'LH-03', 4)).toBe('BM-117_LH-03_enlarge-x4.pdf');
  });
});
