import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { jobTicket } from '../../../core/exchange/job-ticket.ts';
import { placedMatrix } from '../../../core/exchange/placed-matrix.ts';
import { xmlElement, xmlText } from '../../../core/exchange/xml.ts';
import type { Job } from '../../../core/job/schema.ts';
import { storedFromRect } from '../../../core/job/stored-rect.ts';
import { jobOnUnit, jobUnits } from '../../../core/job/vehicles.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { MANIFEST_SCHEMA, MANIFEST_VERSION, type Manifest } from '../../../core/output/manifest.ts';
import { filmProductions, jobProduction } from '../../../core/production/job-production.ts';
import { DEFAULT_PRODUCTION } from '../../../core/shop/production-settings.ts';
import { smallJob } from '../../support/small-job.ts';
import { schemaFaults, xjdfRead } from '../../support/xjdf-check.ts';

/** Where CIP4’s schema lies: its licence keeps it out of this project. */
const SCHEMA = process.env.PANELWRIGHT_XJDF_SCHEMA ?? '';

function manifestOf(job: Job, over: Partial<Manifest> = {}): Manifest {
  const enlargeBy = job.output.size.kind === 'reduction' ? job.output.size.factor : 1;
  const panels = jobLayout(job).flatMap(({ side, panels }) =>
    panels.map((panel) => ({
      file: `panels/${job.number} ${panel.label}#1.pdf`,
      label: panel.label,
      panelId: panel.id,
      sideId: side.id,
      sideCode: side.code,
      installOrder: panel.order,
      finishedBox: storedFromRect(panel.net),
      printedBox: storedFromRect(panel.printed),
      filmBox: storedFromRect(panel.film),
      source: { page: 1, box: 'trim' as const, windowDrawnMm: storedFromRect(panel.printed) },
      shown: 'd'.repeat(64),
      scale: job.scale,
      enlargeBy,
      notes: [],
    })),
  );
  return {
    format: 'panelwright-manifest',
    version: MANIFEST_VERSION,
    schema: MANIFEST_SCHEMA,
    status: 'NOT VERIFIED',
    output: { number: 3 },
    program: { name: 'Panelwright', version: '0.1.0' },
    codec: { name: 'zlib-streams', version: '1.0.4' },
    job: { id: job.id, number: job.number, name: job.name, customer: job.customer, date: job.date },
    artwork: { fileName: 'van.pdf', sha256: 'a'.repeat(64), sizeBytes: 123 },
    outputSize: job.output.size,
    layout: 'c'.repeat(64),
    panels,
    files: panels.map(({ file }, at) => ({
      file,
      kind: 'panel' as const,
      sha256: `${at}`.repeat(64),
      sizeBytes: 1000 + at,
    })),
    sheets: [],
    acknowledgements: [],
    ...over,
  };
}

function ticketOf(job: Job, over: Partial<Manifest> = {}): string {
  const manifest = manifestOf(job, over);
  const md5 = new Map(manifest.files.map(({ file }, at) => [file, `a${at}`.repeat(16)]));
  const productions = filmProductions(jobProduction(job, jobLayout(job)));
  return xmlText(jobTicket({ job, manifest, productions, md5 }));
}

const FLEET: Job = smallJob({
  number: 'BM 2026/7',
  customer: 'Alder County <Library> & "Friends"',
  vehicles: [
    {
      id: 'v1',
      kind: 'van',
      name: 'Bookmobile',
      units: ['7', '8', '9'].map((n) => ({ unitNumber: `BM-0${n}`, licensePlate: '' })),
    },
  ],
  laminate: { name: 'Cast laminate', kind: 'cast', finish: 'gloss', lotNumber: 'L 77/4' },
  film: { name: 'Cast film', kind: 'cast', finish: '', lotNumber: 'B-240311' },
});

const TWO_FILMS: Job = (() => {
  const job = smallJob();
  const [side] = job.sides;
  const other: Job['sides'][number] = {
    ...side!,
    id: 'right',
    code: 'RH',
    filmId: 'f2',
    layout: { kind: 'panel', id: 'p9' },
  };
  const narrow = { ...other, artworkRect: { ...other.artworkRect, widthMm: 120 } };
  return {
    ...job,
    sides: [side!, narrow],
    otherFilms: [
      {
        id: 'f2',
        film: { name: 'Calendered film', kind: 'calendered-polymeric', finish: '', lotNumber: 'C-5' },
        printer: { ...job.printer, rollWidthMm: 1600 },
      },
    ],
  };
})();

const REPRINT: Partial<Manifest> = {
  output: {
    number: 8,
    reprint: { of: 3, reason: 'scratched at the door', date: '2026-03-12', unitNumber: 'BM-08' },
  },
};

describe('the job ticket', () => {
  test('customer, vehicles, film and laminate with width and lot are those of the job', () => {
    const { values, faults } = xjdfRead(ticketOf(FLEET));
    expect(faults).toEqual([]);
    expect(values('//x:Company', 'OrganizationName')).toEqual(['Alder County <Library> & "Friends"']);
    expect(values('//x:Product', 'Amount')).toEqual(['3']);
    expect(values('//x:Product/x:GeneralID', 'IDValue')).toEqual(['BM-07', 'BM-08', 'BM-09']);
    // 1,524 mm are 60 in, which are 4,320 points.
    expect(new Set(values('//x:Media', 'Dimension'))).toEqual(new Set(['4320 0']));
    const lots = (type: string) =>
      new Set(values(`//x:Resource[x:Media/@MediaType="${type}"]/x:Part`, 'LotID'));
    expect(lots('SelfAdhesive')).toEqual(new Set(['B-240311']));
    expect([...lots('LaminatingFoil')][0]).toMatch(/^L-77-4-[0-9a-f]{12}$/);
    expect(values('/x:XJDF', 'Types')).toEqual(['DigitalPrinting Laminating Cutting']);
    expect(values('/x:XJDF', 'JobNumber')).toEqual(['BM 2026/7']);
  });

  test('who made it, on which day, and by when printing ends at the latest', () => {
    const promised = { ...FLEET, production: { ...DEFAULT_PRODUCTION, promised: '2026-11-20T13:05' } };
    const { values } = xjdfRead(ticketOf(promised));
    expect(values('/x:XJDF/x:AuditPool/x:AuditCreated/x:Header', 'AgentName')).toEqual(['Panelwright']);
    expect(values('//x:Header', 'Time')).toEqual(['2026-03-09T00:00:00']);
    expect(values('//x:NodeInfo', 'LastEnd')).toEqual(['2026-11-20T13:05:00']);
    const reprint = xjdfRead(ticketOf(FLEET, REPRINT));
    expect(reprint.values('//x:Header', 'Time')).toEqual(['2026-03-12T00:00:00']);
    expect(reprint.values('//x:NodeInfo', 'LastEnd')).not.toContain('2026-11-20T13:05:00');
  });

  test('each panel file has its address, size, checksums and copies', () => {
    const { values } = xjdfRead(ticketOf(FLEET));
    expect(values('//x:FileSpec', 'URL')[0]).toBe('panels/BM%202026/7%20LH-01%231.pdf');
    expect(values('//x:FileSpec', 'FileSize')).toEqual(['1000', '1001']);
    expect(values('//x:FileSpec', 'CheckSum')).toEqual(['A0'.repeat(16), 'A1'.repeat(16)]);
    expect(values('//x:FileSpec', 'SHA256')).toEqual(['0'.repeat(64), '1'.repeat(64)]);
    expect(values('//x:PartAmount', 'Amount')).toEqual(['3', '3']);
    expect(values('//x:PlacedObject', 'Ord').toSorted()).toEqual(['0', '0', '0', '1', '1', '1']);
  });

  test('each copy lies on its roll where the nesting has it, enlarged as its file needs', () => {
    const reduced = {
      ...FLEET,
      output: { ...FLEET.output, size: { kind: 'reduction' as const, factor: 10 } },
    };
    const turning = { ...reduced, production: { ...DEFAULT_PRODUCTION, mayTurn: true } };
    const { values } = xjdfRead(ticketOf(turning));
    const [production] = filmProductions(jobProduction(turning, jobLayout(turning)));
    const uses = production!.plan.uses;
    const boxes = uses.flatMap(({ bands, usedLengthMm }) =>
      bands.flatMap(({ panels }) =>
        panels.map(({ item, place, size }) => {
          const top = usedLengthMm - place.yMm;
          return { item, box: [place.xMm, top - size.along, place.xMm + size.across, top] };
        }),
      ),
    );
    const matrices = values('//x:PlacedObject', 'CTM').map((text) => text.split(' ').map(Number));
    expect(matrices).toHaveLength(6);
    for (const [at, [a, b, c, d, e, f]] of (
      matrices as [number, number, number, number, number, number][]
    ).entries()) {
      const { item, box } = boxes[at]!;
      const [w, h] = [item.widthMm, item.lengthMm].map((mm) => (mm * 72) / 25.4 / 10) as [number, number];
      const corners = [
        [0, 0],
        [w, h],
      ].map(([x, y]) => [a * x! + c * y! + e, b * x! + d * y! + f]);
      const seen = [0, 1].flatMap((axis) => [
        Math.min(...corners.map((corner) => corner[axis]!)),
        Math.max(...corners.map((corner) => corner[axis]!)),
      ]);
      const wanted = [box[0]!, box[2]!, box[1]!, box[3]!].map((mm) => (mm * 72) / 25.4);
      for (const [edge, value] of seen.entries()) expect(value).toBeCloseTo(wanted[edge]!, 2);
    }
  });

  test('a turned panel has its top toward the right, as a clockwise quarter turn gives it', () => {
    const place = { xMm: 20, yMm: 300, lengthMm: 1200, isTurned: true };
    const [a, b, c, d, e, f] = placedMatrix(place);
    const at = (x: number, y: number) => [a * x + c * y + e, b * x + d * y + f];
    // 1,200 wide and 500 high as it hangs: its upper left corner comes to the upper right.
    expect(at(0, 500)).toEqual([520, 1500]);
    expect(at(1200, 0)).toEqual([20, 300]);
    const trim = placedMatrix(place, 1, { xMm: 30, yMm: 70 });
    expect([trim[4], trim[5]]).toEqual([90, 1470]);
  });

  test('several films have a medium each, and a film without laminate takes none', () => {
    const { values, faults } = xjdfRead(ticketOf(TWO_FILMS));
    expect(faults).toEqual([]);
    expect(new Set(values('//x:Media', 'MediaTypeDetails'))).toEqual(
      new Set(['CastVinyl', 'PolymericCalenderedVinyl']),
    );
    expect(values('//x:Resource[x:Media]', 'Brand')).toContain('Calendered film');
    expect(values('//x:Resource[x:Part/@Run="RH-01"]/x:Component', 'MediaRef')).toEqual([
      `film-roll-${values('//x:Layout', 'PaperRef').length}`,
    ]);
    expect(values('/x:XJDF', 'Types')).toEqual(['DigitalPrinting Cutting']);
  });

  test('a reprint is rework, and says of which output and why', () => {
    const [unit] = jobUnits(FLEET);
    const { values, faults } = xjdfRead(ticketOf(jobOnUnit(FLEET, unit!), REPRINT));
    expect(faults).toEqual([]);
    expect(values('//x:MISDetails', 'WorkType')).toEqual(['Rework']);
    expect(values('//x:MISDetails', 'WorkTypeDetails')).toEqual(['Reprint']);
    expect(values('//x:MISDetails', 'Reason')).toEqual(['scratched at the door']);
    expect(values('/x:XJDF', 'RelatedJobPartID')).toEqual(['output-3']);
    expect(values('//x:PartAmount', 'Amount')).toEqual(['1', '1']);
  });

  test('a patch is rework of its own kind', () => {
    const [first] = manifestOf(FLEET).panels;
    const patch = { of: 'p1', damageBox: first!.finishedBox };
    const { values } = xjdfRead(ticketOf(FLEET, { panels: [{ ...first!, patch }] }));
    expect(values('//x:MISDetails', 'WorkTypeDetails')).toEqual(['Patch']);
  });

  test('strips are what is printed where there are some', () => {
    const job = smallJob();
    const [production] = filmProductions(jobProduction(job, jobLayout(job)));
    const { label, leftMarginMm } = production!.rolls[0]!;
    const [use] = production!.plan.uses;
    const strip = {
      file: 'strips/SJ-7_strip-01.pdf',
      number: 1,
      roll: label,
      fromMm: 200,
      widthMm: 1504,
      lengthMm: 2900,
      enlargeBy: 1,
      panels: [],
    };
    const base = manifestOf(job);
    const files = [
      ...base.files,
      { file: strip.file, kind: 'strip' as const, sha256: 'e'.repeat(64), sizeBytes: 7 },
    ];
    const { values, faults } = xjdfRead(ticketOf(job, { strips: [strip], files }));
    expect(faults).toEqual([]);
    expect(values('//x:FileSpec', 'URL')).toEqual([strip.file]);
    const [, , , , e, f] = values('//x:PlacedObject', 'CTM')[0]!.split(' ').map(Number);
    expect(e).toBeCloseTo((leftMarginMm * 72) / 25.4, 2);
    expect(f).toBeCloseTo(((use!.usedLengthMm - 200 - 2900) * 72) / 25.4, 2);
  });

  test('files of cut contours are what is cut by, in the place of straight cuts', () => {
    const job = smallJob();
    const base = manifestOf(job);
    const contours = ['pdf', 'dxf', 'svg'].map((ending) => ({
      file: `contours/SJ-7_LH-01_cut.${ending}`,
      kind: 'cut-contours' as const,
      sha256: 'e'.repeat(64),
      sizeBytes: 7,
    }));
    const { values, faults } = xjdfRead(ticketOf(job, { files: [...base.files, ...contours] }));
    expect(faults).toEqual([]);
    expect(values('/x:XJDF', 'Types')).toEqual(['DigitalPrinting ShapeCutting']);
    expect(values('//x:DieLayout/x:FileSpec', 'MimeType')).toEqual([
      'application/pdf',
      'image/vnd.dxf',
      'image/svg+xml',
    ]);
    expect(values('//x:ShapeCuttingParams', 'DieLayoutRef')).toEqual(
      values('//x:Resource[x:DieLayout]', 'ID'),
    );
    expect(values('//x:CuttingParams', 'x')).toEqual([]);
  });

  test('the check of tickets finds what the schema does not: a dangling id, a bare address, a wrong sum', () => {
    const broken = ticketOf(FLEET)
      .replace('PaperRef="film-roll-1"', 'PaperRef="film-roll-9"')
      .replace('panels/BM%202026', 'panels/BM 2026')
      .replace('Amount="3"', 'Amount="4"')
      .replace('<PartAmount Amount="3"/>', '<PartAmount Amount="5"/>');
    const { faults } = xjdfRead(broken);
    expect(faults.map((fault) => fault.split(':')[0])).toEqual([
      'PaperRef leads nowhere',
      'Not escaped',
      'LH-01',
    ]);
  });

  test('text that XML cannot hold is escaped or replaced', () => {
    expect(xmlText(xmlElement('A', { b: '<"&\u0001\n' }))).toContain('<A b="&lt;&quot;&amp;?&#10;"/>');
  });

  test.skipIf(!existsSync(SCHEMA))(
    'is valid by the schema of CIP4, which PANELWRIGHT_XJDF_SCHEMA names',
    () => {
      const schema = readFileSync(SCHEMA);
      const [unit] = jobUnits(FLEET);
      const tickets = [
        ticketOf(FLEET),
        ticketOf(TWO_FILMS),
        ticketOf(jobOnUnit(FLEET, unit!), REPRINT),
        ticketOf({ ...FLEET, customer: '' }),
      ];
      for (const ticket of tickets) expect(schemaFaults(ticket, schema)).toEqual([]);
      expect(schemaFaults(tickets[0]!.replace('Types=', 'Kinds='), schema)).not.toEqual([]);
    },
  );
});
