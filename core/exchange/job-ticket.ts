/**
 * The job ticket of an output as XJDF 2.2 of CIP4: customer, vehicles, film and laminate, panel files, the place of
 * each copy on its roll, the cuts, and whether it is a reprint.
 *
 * Names, their order and value types are those of CIP4’s schema, 2.2.42. These points are not in the schema and are
 * from memory: that a CheckSum is an MD5 (SHA-256 is beside it in a namespace of ours), that lengths are points and
 * thickness is in micrometers, and that Ord counts pages of the run list from 0.
 */
import { isFileMirrored } from '../job/film-base.ts';
import { jobOnFilm } from '../job/job-films.ts';
import type { Film, Job } from '../job/schema.ts';
import { vehicleName } from '../job/vehicles.ts';
import { foundIn } from '../measure/present.ts';
import { ptFromMm } from '../measure/units.ts';
import type { Manifest, ManifestFile, ManifestPanel } from '../output/manifest.ts';
import type { FilmProduction } from '../production/film-production.ts';
import type { RollUse } from '../rolls/roll-use.ts';
import { itemPanelId, type RollStock } from '../shop/rolls.ts';
import type { FilmKind, ShelfLaminate } from '../shop/shelf.ts';
import { nameToken, relativeAddress } from './name-token.ts';
import { placedMatrix } from './placed-matrix.ts';
import { type XmlElement, xmlElement } from './xml.ts';

export const XJDF_NAMESPACE = 'http://www.CIP4.org/JDFSchema_2_0';
/** For data that the standard has no word for. It is only a name; there is nothing at this address. */
const OWN_NAMESPACE = 'urn:panelwright:job-ticket:1';

export interface TicketFacts {
  readonly job: Job;
  /** Manifest of the output; all its files are written except the ticket. */
  readonly manifest: Manifest;
  /** Production of each of its films. */
  readonly productions: readonly FilmProduction[];
  /** MD5 of the files by their name, lower-case hexadecimal. */
  readonly md5: ReadonlyMap<string, string>;
}

export function jobTicket(facts: TicketFacts): XmlElement {
  const { job, manifest } = facts;
  const { reprint, number } = manifest.output;
  const rolls = rollsInUse(facts);
  const types = processTypes(facts, rolls);
  const index = (type: string) => types.indexOf(type);
  const jobId = nameToken(job.number);
  return xmlElement(
    'XJDF',
    {
      xmlns: XJDF_NAMESPACE,
      'xmlns:pw': OWN_NAMESPACE,
      Version: '2.2',
      JobID: jobId,
      JobPartID: `output-${number}`,
      ...(reprint && { RelatedJobID: jobId, RelatedJobPartID: `output-${reprint.of}` }),
      DescriptiveName: job.name,
      Types: types.join(' '),
      'pw:Program': `Panelwright ${manifest.program.version}`,
      'pw:JobNumber': job.number,
    },
    [
      auditPool(facts),
      productList(job),
      resourceSet('CustomerInfo', 'Input', undefined, [
        resource({}, [], xmlElement('CustomerInfo', { CustomerJobName: job.name })),
      ]),
      job.customer.trim() === '' ? undefined : customerSet(job.customer),
      resourceSet('NodeInfo', 'Input', undefined, [nodeInfo(facts)]),
      resourceSet(
        'Media',
        'Input',
        0,
        rolls.map((roll) => filmResource(job, roll)),
      ),
      resourceSet(
        'Media',
        'Input',
        index('Laminating'),
        rolls.flatMap((roll) => laminateResource(job, roll)),
      ),
      resourceSet('DigitalPrintingParams', 'Input', 0, [
        resource({}, [], xmlElement('DigitalPrintingParams', { Sides: 'OneSidedFront' })),
      ]),
      types.includes('Laminating')
        ? resourceSet('LaminatingParams', 'Input', index('Laminating'), [
            resource({}, [], xmlElement('LaminatingParams')),
          ])
        : undefined,
      ...cutting(facts, rolls, types.length - 1),
      resourceSet(
        'RunList',
        'Input',
        0,
        printFiles(facts).map((file) => runResource(facts, file)),
      ),
      resourceSet(
        'Layout',
        'Input',
        0,
        rolls.map((roll) => layoutResource(facts, roll)),
      ),
      resourceSet(
        'Component',
        'Output',
        types.length - 1,
        manifest.panels.map((panel) => panelResource(facts, panel)),
      ),
    ].filter((set) => set === undefined || set.children.length > 0),
  );
}

interface RollInUse {
  /** Token of the roll: `roll-2`. */
  readonly name: string;
  readonly use: RollUse;
  readonly stock: RollStock;
  readonly production: FilmProduction;
}

/** Numbered through the job, as on sheets and strips. */
const rollsInUse = ({ productions }: TicketFacts): RollInUse[] =>
  productions.flatMap((production) =>
    production.plan.uses.map((use, at) => ({
      name: `roll-${(production.before?.rolls ?? 0) + at + 1}`,
      use,
      stock: foundIn(production.rolls, ({ id }) => id === use.rollId),
      production,
    })),
  );

const contourFiles = ({ manifest }: TicketFacts): readonly ManifestFile[] =>
  manifest.files.filter(({ kind }) => kind === 'cut-contours');

function processTypes(facts: TicketFacts, rolls: readonly RollInUse[]): readonly string[] {
  const isLaminated = rolls.some(({ production }) => laminateOf(facts.job, production) !== undefined);
  // Panels with contours are cut by shape, others by straight cuts.
  const cut = contourFiles(facts).length > 0 ? 'ShapeCutting' : 'Cutting';
  return ['DigitalPrinting', ...(isLaminated ? ['Laminating'] : []), cut];
}

const productList = (job: Job): XmlElement =>
  xmlElement(
    'ProductList',
    {},
    job.vehicles.map((vehicle) =>
      xmlElement(
        'Product',
        {
          ID: `product-${nameToken(vehicle.id)}`,
          IsRoot: true,
          Amount: vehicle.units.length,
          DescriptiveName: vehicleName(vehicle),
        },
        vehicle.units.map(({ unitNumber }) =>
          xmlElement('GeneralID', { IDUsage: 'UnitNumber', IDValue: unitNumber }),
        ),
      ),
    ),
  );

const customerSet = (customer: string): XmlElement =>
  resourceSet('Contact', 'Input', undefined, [
    resource(
      {},
      [xmlElement('Part', { ContactType: 'Customer' })],
      xmlElement('Contact', {}, [xmlElement('Company', { OrganizationName: customer })]),
    ),
  ]);

/** A reprint counts as rework: of the whole panel, or of the part that a patch covers. */
/**
 * Author and day of the ticket: those of the job or the reprint. The hour is midnight, so that the same output always
 * has the same ticket.
 */
const auditPool = ({ job, manifest: { output, program } }: TicketFacts): XmlElement =>
  xmlElement('AuditPool', {}, [
    xmlElement('AuditCreated', {}, [
      xmlElement('Header', {
        AgentName: program.name,
        AgentVersion: program.version,
        DeviceID: nameToken(program.name),
        Time: `${output.reprint?.date ?? job.date}T00:00:00`,
      }),
    ]),
  ]);

/** Printing must end when the promised installation begins, at the latest. */
function nodeInfo({ job, manifest: { output, panels } }: TicketFacts): XmlElement {
  const { reprint } = output;
  const { promised } = job.production ?? {};
  const isPatch = panels.some(({ patch }) => patch);
  const details = isPatch ? 'Patch' : reprint && 'Reprint';
  return resource(
    {},
    [],
    xmlElement('NodeInfo', { LastEnd: promised && `${promised}:00`, Status: 'Waiting' }, [
      xmlElement('MISDetails', {
        WorkType: details ? 'Rework' : 'Original',
        WorkTypeDetails: details,
        ...(reprint?.reason && { 'pw:Reason': reprint.reason }),
      }),
    ]),
  );
}

const MEDIA_KINDS: Readonly<Record<FilmKind, string>> = {
  cast: 'CastVinyl',
  'calendered-polymeric': 'PolymericCalenderedVinyl',
  'calendered-monomeric': 'MonomericCalenderedVinyl',
};

function filmResource(job: Job, { name, stock, production }: RollInUse): XmlElement {
  const onFilm = jobOnFilm(job, production.filmId);
  const film = production.settings.film;
  const { name: brand, kind, lotNumber } = film ?? onFilm.film;
  return mediaResource('SelfAdhesive', name, {
    id: filmId(name),
    brand,
    kind,
    lot: stock.onShelf?.lotNumber || lotNumber || onFilm.film.lotNumber,
    label: stock.label,
    widthMm: stock.widthMm,
    thicknessUm: film?.thicknessUm,
    externalId: stock.onShelf?.rollId,
  });
}

const filmId = (rollName: string): string => `film-${rollName}`;

/** The laminate on a film, from the shelf, or else as named in the job. */
function laminateOf(
  job: Job,
  { filmId, settings }: FilmProduction,
):
  | (Pick<Film, 'name' | 'kind' | 'lotNumber'> & Partial<Pick<ShelfLaminate, 'widthMm' | 'thicknessUm'>>)
  | undefined {
  return settings.laminate ?? jobOnFilm(job, filmId).laminate;
}

function laminateResource(job: Job, { name, stock, production }: RollInUse): XmlElement[] {
  const laminate = laminateOf(job, production);
  if (!laminate) return [];
  const [roll] = production.settings.laminateRolls ?? [];
  return [
    mediaResource('LaminatingFoil', name, {
      id: `laminate-${name}`,
      brand: laminate.name,
      kind: laminate.kind,
      lot: roll?.onShelf.lotNumber || laminate.lotNumber,
      label: roll?.label,
      widthMm: roll?.widthMm ?? laminate.widthMm ?? stock.widthMm,
      thicknessUm: laminate.thicknessUm,
      externalId: roll?.onShelf.rollId,
    }),
  ];
}

interface MediaFacts {
  readonly id: string;
  readonly brand: string;
  readonly kind: FilmKind;
  readonly lot: string;
  readonly label: string | undefined;
  readonly widthMm: number;
  readonly thicknessUm: number | undefined;
  readonly externalId: string | undefined;
}

/** A length of 0 means that the length of the roll is not stated. */
const mediaResource = (type: string, rollName: string, facts: MediaFacts): XmlElement =>
  resource(
    {
      ID: facts.id,
      Brand: facts.brand,
      DescriptiveName: facts.label,
      ...(facts.externalId && { ExternalID: nameToken(facts.externalId) }),
      // A lot number may have characters that tokens cannot hold.
      ...(facts.lot && { 'pw:Lot': facts.lot }),
    },
    [xmlElement('Part', { SheetName: rollName, ...(facts.lot && { LotID: nameToken(facts.lot) }) })],
    xmlElement('Media', {
      MediaType: type,
      MediaTypeDetails: MEDIA_KINDS[facts.kind],
      MediaUnit: 'Roll',
      Dimension: `${pt(facts.widthMm)} 0`,
      Thickness: facts.thicknessUm,
    }),
  );

function cutting(facts: TicketFacts, rolls: readonly RollInUse[], process: number): XmlElement[] {
  const files = contourFiles(facts).map((file) => fileSpec(facts, file));
  if (files.length === 0) return [resourceSet('CuttingParams', 'Input', process, rolls.map(cutBlocks))];
  const params = { DeliveryMode: 'SeparateBlanks', DieLayoutRef: CONTOURS_ID };
  return [
    resourceSet('DieLayout', 'Input', process, [
      resource({ ID: CONTOURS_ID }, [], xmlElement('DieLayout', {}, files)),
    ]),
    resourceSet('ShapeCuttingParams', 'Input', process, [
      resource({}, [], xmlElement('ShapeCuttingParams', params)),
    ]),
  ];
}

const CONTOURS_ID = 'contours';

/** The panels on a roll that straight cuts separate. */
function cutBlocks({ name, use }: RollInUse): XmlElement {
  const blocks = use.bands
    .flatMap(({ panels }) => panels)
    .map(({ item, place, size }, at) => {
      const top = use.usedLengthMm - place.yMm;
      const box = [place.xMm, top - size.along, place.xMm + size.across, top];
      return xmlElement('CutBlock', {
        BlockName: `${name}_${at + 1}`,
        DescriptiveName: item.label,
        Box: box.map(pt).join(' '),
      });
    });
  return resource({}, [xmlElement('Part', { SheetName: name })], xmlElement('CuttingParams', {}, blocks));
}

interface PrintFile {
  readonly file: ManifestFile;
  readonly run: string;
  readonly name: string;
}

/** The printed files in the order of the run list: strips where there are any, else panels. */
function printFiles({ manifest }: TicketFacts): PrintFile[] {
  const filed = (name: string): ManifestFile => foundIn(manifest.files, ({ file }) => file === name);
  if (manifest.strips) {
    return manifest.strips.map(({ file, number, roll }) => ({
      file: filed(file),
      run: `strip-${number}`,
      name: `Strip ${number}, ${roll}`,
    }));
  }
  return manifest.panels.map(({ file, label }) => ({
    file: filed(file),
    run: nameToken(label),
    name: `Panel ${label}`,
  }));
}

const runResource = (facts: TicketFacts, { file, run, name }: PrintFile): XmlElement =>
  resource(
    { DescriptiveName: name },
    [xmlElement('Part', { Run: run })],
    xmlElement('RunList', { NPage: 1, Pages: '0 0' }, [fileSpec(facts, file)]),
  );

const MEDIA_TYPES = [
  ['.pdf', 'application/pdf'],
  ['.dxf', 'image/vnd.dxf'],
  ['.svg', 'image/svg+xml'],
] as const;

const fileSpec = ({ md5 }: TicketFacts, { file, sizeBytes, sha256 }: ManifestFile): XmlElement =>
  xmlElement('FileSpec', {
    URL: relativeAddress(file),
    MimeType: MEDIA_TYPES.find(([ending]) => file.endsWith(ending))?.[1],
    FileSize: sizeBytes,
    CheckSum: md5.get(file)?.toUpperCase(),
    'pw:SHA256': sha256,
  });

/**
 * One sheet per roll, as long as its used part. The start of the film is at the top and the origin at the lower left,
 * as on a PDF page.
 */
function layoutResource(facts: TicketFacts, roll: RollInUse): XmlElement {
  const { name, use, stock } = roll;
  const { manifest } = facts;
  const placed = manifest.strips ? placedStrips(facts, roll) : placedPanels(facts, roll);
  return resource(
    {},
    [xmlElement('Part', { SheetName: name, Side: 'Front' })],
    xmlElement(
      'Layout',
      {
        WorkStyle: 'Simplex',
        PaperRef: filmId(name),
        SurfaceContentsBox: `0 0 ${pt(stock.widthMm)} ${pt(use.usedLengthMm)}`,
      },
      placed,
    ),
  );
}

const placedObject = (ord: number, attributes: Readonly<Record<string, string | undefined>>): XmlElement =>
  xmlElement('PlacedObject', { Ord: ord, ...attributes }, [xmlElement('ContentObject')]);

function placedPanels({ job, manifest, productions }: TicketFacts, { use }: RollInUse): XmlElement[] {
  return use.bands
    .flatMap(({ panels }) => panels)
    .flatMap(({ item, place, size }) => {
      const ord = manifest.panels.findIndex(({ panelId }) => panelId === itemPanelId(item.panelId));
      const panel = manifest.panels[ord];
      // Items printed beside the panels, such as a color strip, have separate files.
      if (!panel) return [];
      const sheet = {
        xMm: place.xMm,
        yMm: use.usedLengthMm - place.yMm - size.along,
        lengthMm: size.along,
        isTurned: place.turned,
      };
      const filmOf = productions.find(({ items }) => items.includes(item))?.filmId ?? '';
      const trim = trimOnFilm(job, panel, filmOf);
      return placedObject(ord, {
        CTM: matrixText(placedMatrix(sheet, panel.enlargeBy)),
        TrimCTM: matrixText(placedMatrix(sheet, 1, trim)),
        TrimSize: `${pt(panel.finishedBox.widthMm)} ${pt(panel.finishedBox.heightMm)}`,
      });
    });
}

/** The lower left corner of the finished size on the film, y up. */
function trimOnFilm(job: Job, { filmBox, finishedBox }: ManifestPanel, filmId: string) {
  const left = finishedBox.xMm - filmBox.xMm;
  const right = filmBox.widthMm - left - finishedBox.widthMm;
  return {
    xMm: isFileMirrored(job, { filmId }) ? right : left,
    yMm: filmBox.yMm + filmBox.heightMm - finishedBox.yMm - finishedBox.heightMm,
  };
}

function placedStrips({ manifest }: TicketFacts, { use, stock }: RollInUse): XmlElement[] {
  return (manifest.strips ?? []).flatMap((strip, ord) => {
    if (strip.roll !== stock.label) return [];
    const sheet = {
      xMm: stock.leftMarginMm,
      yMm: use.usedLengthMm - strip.fromMm - strip.lengthMm,
      lengthMm: strip.lengthMm,
      isTurned: false,
    };
    return placedObject(ord, { CTM: matrixText(placedMatrix(sheet, strip.enlargeBy)) });
  });
}

/** One copy per vehicle, whether or not the nesting found a place for all of them. */
function panelResource({ manifest, productions }: TicketFacts, panel: ManifestPanel): XmlElement {
  const items = productions.flatMap((production) =>
    production.items
      .filter(({ panelId }) => itemPanelId(panelId) === panel.panelId)
      .map((item) => ({ item, production })),
  );
  const on = items
    .map(({ item, production }) => {
      const at = production.plan.uses.findIndex(({ bands }) =>
        bands.some(({ panels }) => panels.some((placed) => placed.item.panelId === item.panelId)),
      );
      return at < 0 ? undefined : filmId(`roll-${(production.before?.rolls ?? 0) + at + 1}`);
    })
    .find((id) => id !== undefined);
  const token = nameToken(panel.label);
  return xmlElement('Resource', { DescriptiveName: `Panel ${panel.label}` }, [
    xmlElement('AmountPool', {}, [xmlElement('PartAmount', { Amount: Math.max(1, items.length) })]),
    xmlElement('Part', manifest.strips ? { BlockName: token } : { Run: token }),
    xmlElement('Component', {
      ...(on && { MediaRef: on }),
      Dimensions: `${pt(panel.finishedBox.widthMm)} ${pt(panel.finishedBox.heightMm)} 0`,
    }),
  ]);
}

const resourceSet = (
  name: string,
  usage: 'Input' | 'Output',
  process: number | undefined,
  resources: readonly XmlElement[],
): XmlElement =>
  xmlElement('ResourceSet', { Name: name, Usage: usage, CombinedProcessIndex: process }, resources);

const resource = (
  attributes: Readonly<Record<string, string | undefined>>,
  parts: readonly XmlElement[],
  specific: XmlElement,
): XmlElement => xmlElement('Resource', attributes, [...parts, specific]);

/** Points to a thousandth: a third of a micrometer. */
const pt = (mm: number): string => String(Math.round(ptFromMm(mm) * 1000) / 1000);
const matrixText = (matrix: readonly number[]): string =>
  matrix.map((value, at) => (at < 4 ? String(value) : pt(value))).join(' ');
