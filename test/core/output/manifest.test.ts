import { readFileSync } from 'node:fs';
import Ajv from 'ajv/dist/2020.js';
import { describe, expect, it } from 'vitest';
import { JOB_SCHEMA } from '../../../core/job/schema.ts';
import { CURRENT_SCHEMA } from '../../../core/output/current-manifest.ts';
import { fileNameStem, panelFileName } from '../../../core/output/file-name.ts';
import { MANIFEST_SCHEMA, type Manifest } from '../../../core/output/manifest.ts';
import { manifestFromJson } from '../../../core/output/manifest-json.ts';
import { panelTableCsv } from '../../../core/output/panel-table.ts';
import { PUBLISHED_SCHEMAS, schemaText } from '../../../core/output/published-schemas.ts';
import { sha256Hex } from '../../../main/files/sha256.ts';

const published = (file: string) =>
  JSON.parse(readFileSync(new URL(`../../../assets/${file}`, import.meta.url), 'utf8')) as object;

const MANIFEST: Manifest = {
  format: 'panelwright-manifest',
  version: 1,
  schema: MANIFEST_SCHEMA,
  status: 'NOT VERIFIED',
  output: { number: 7 },
  program: { name: 'Panelwright', version: '0.1.0' },
  codec: { name: 'zlib-streams', version: '1.0.4' },
  job: {
    id: 'j',
    number: '=BM,"7"',
    name: 'Bookmobile',
    customer: 'Alder County Library',
    date: '2026-03-09',
  },
  artwork: { fileName: 'van.pdf', sha256: 'a'.repeat(64), sizeBytes: 123 },
  outputSize: { kind: 'reduction', factor: 4 },
  layout: 'c'.repeat(64),
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
      shown: 'd'.repeat(64),
      scale: 10,
      enlargeBy: 4,
      notes: [],
    },
  ],
  files: [{ file: 'panels/BM_LH-01_enlarge-x4.pdf', kind: 'panel', sha256: 'b'.repeat(64), sizeBytes: 99 }],
  sheets: [{ file: 'map.pdf', kind: 'map' }],
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
      panels: [{ label: 'LH-01', panelId: 'p1', xMm: 0, yMm: 0, turned: true }],
    };
    expect(validate({ ...MANIFEST, strips: [strip] })).toBe(true);
    expect(validate({ ...MANIFEST, strips: [{ ...strip, lengthMm: 0 }] })).toBe(false);
    expect(validate({ ...MANIFEST, version: 2 })).toBe(false);
    expect(validate({ ...MANIFEST, panels: [{ ...MANIFEST.panels[0], enlargeBy: 0 }] })).toBe(false);
  });

  it('is read back, and refused with one sentence where another draft of its version wrote it', () => {
    expect(manifestFromJson(JSON.stringify(MANIFEST), 'in out')).toEqual({ ok: true, value: MANIFEST });
    const { schema: _, ...unnamed } = MANIFEST;
    for (const [other, found] of [
      [{ ...MANIFEST, schema: '0123456789abcdef' }, '“schema” is "0123456789abcdef"'],
      [unnamed, '“schema” is missing'],
    ] as const) {
      expect(manifestFromJson(JSON.stringify(other), 'in out')).toEqual({
        ok: false,
        problem: {
          code: 'manifest-other-draft',
          message: `The manifest in out was written by another draft of version 1: ${found}, and this program reads “${MANIFEST_SCHEMA}”.`,
          remedy: 'Cut the job again with this program.',
        },
      });
    }
    for (const text of [undefined, '{"format":', '7', 'null', JSON.stringify({ ...MANIFEST, panels: 3 })]) {
      expect(manifestFromJson(text, 'in out')).toMatchObject({ problem: { code: 'manifest-unreadable' } });
    }
  });

  it('gives a table by RFC 4180 that no spreadsheet takes for formulas', () => {
    const [head, row, end] = panelTableCsv(MANIFEST).split('\r\n');
    expect(head).toMatch(/^\uFEFFjob,panel,side,install_order,/);
    expect(row).toBe(
      `"'=BM,""7""",LH-01,LH,1,1330,1300,1395,1400,1455,1460,4,panels/BM_LH-01_enlarge-x4.pdf`,
    );
    expect(end).toBe('');
  });
});

describe('published schemas', () => {
  it.each(Object.entries(PUBLISHED_SCHEMAS))('%s is as the program has it', (file, schema) => {
    // When this fails, the format has changed: run `npm run schemas`, and consider its version.
    expect(published(file)).toEqual(schema());
  });

  it.each([
    ['job.schema.json', JOB_SCHEMA],
    ['manifest.schema.json', MANIFEST_SCHEMA],
    ['current.schema.json', CURRENT_SCHEMA],
  ] as const)('%s is named by its hash', (file, hash) => {
    const schema = PUBLISHED_SCHEMAS[file]();
    const hashOf = (text: string) => sha256Hex(new TextEncoder().encode(text)).slice(0, 16);
    expect(hashOf(schemaText(schema))).toBe(hash);
    // The hash is not part of what is hashed; anything else is.
    expect(schemaText(PUBLISHED_SCHEMAS[file]())).not.toContain(hash);
    expect(hashOf(schemaText({ ...schema, additionalProperties: true }))).not.toBe(hash);
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
    ['BM-117', /^BM-117$/],
    ['con', /^_con$/],
    ['Bücherbus / 7', /^Bucherbus-7-CODE$/],
    ['../../etc', /^etc-CODE$/],
    ['_con', /^con-CODE$/],
    ['…', /^job-CODE$/],
    ['🚐', /^job-CODE$/],
    ['a'.repeat(99), /^a{47}-CODE$/],
    ['trailing. ', /^trailing-CODE$/],
    ['a\u0000b', /^a-b-CODE$/],
    ['job-0123456789ab', /^job-0123456789ab-CODE$/],
  ])('of %j are %s', (text, stem) => {
    expect(fileNameStem(text)).toMatch(new RegExp(stem.source.replace('CODE', '[0-9a-f]{12}')));
  });

  it('of different texts differ, and stay what they were', () => {
    const texts = [
      '',
      '…',
      '車体-12',
      '車体-13',
      'Фургон',
      'job',
      'SJ-7',
      'SJ 7',
      'SJ/7',
      'SJ-7 ',
      'Müller',
      'Muller',
    ];
    texts.push(...texts.map(fileNameStem), 'x'.repeat(61), 'x'.repeat(62), `${'x'.repeat(62)}-2`);
    const different = new Set(texts);
    expect(new Set([...different].map(fileNameStem)).size).toBe(different.size);
    // FNV-1a of 64 bits, computed by another program: a change renames the folders of every shop.
    expect(fileNameStem('車体-12')).toBe('12-53aa72c9b08d');
  });

  it('carry the factor that production must enlarge by', () => {
    expect(panelFileName('BM-117', 'LH-03', 1)).toBe('BM-117_LH-03.pdf');
    expect(panelFileName('BM-117', 'LH-03', 4)).toBe('BM-117_LH-03_enlarge-x4.pdf');
  });
});
