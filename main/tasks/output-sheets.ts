/** The papers of an output: each sheet that was asked for, as bytes under its name. */

import { type JobKnown, jobFindings } from '../../core/checks/findings/job-findings.ts';
import { printingFacts } from '../../core/checks/printing-facts.ts';
import { proofFacts } from '../../core/checks/report/proof-facts.ts';
import { seamStretches } from '../../core/checks/report/seam-stretches.ts';
import type { RasterPicture } from '../../core/drawing/drawing.ts';
import { type FontLibrary, fontLibraryFromFiles } from '../../core/drawing/font-library.ts';
import { jobToJson } from '../../core/job/job-json.ts';
import type { Job, Side } from '../../core/job/schema.ts';
import type { ShopLogo } from '../../core/job/shop-profile.ts';
import { jobUnits } from '../../core/job/vehicles.ts';
import type { SideLayout } from '../../core/layout/side-layout.ts';
import { unitsOfJob } from '../../core/layout/unit-layouts.ts';
import { codePointOf } from '../../core/measure/present.ts';
import type { ColorStrip } from '../../core/output/color-strip.ts';
import type { OutputMark } from '../../core/output/output-mark.ts';
import type { ProductionRecord } from '../../core/output/production-record.ts';
import { layoutsOfPanels } from '../../core/output/reprint-layouts.ts';
import { type DrawnKind, sheetFileName } from '../../core/output/sheet-kind.ts';
import { jobProduction } from '../../core/production/job-production.ts';
import { productionWithStrip } from '../../core/production/strip-production.ts';
import { CHECK_IN_SHEET, checkInSheet } from '../../core/sheets/check-in-sheet.ts';
import { CUSTOMER_PROOF, customerProof } from '../../core/sheets/customer-proof.ts';
import { filmTickets } from '../../core/sheets/film-tickets.ts';
import { INSTALL_MAP, installMap } from '../../core/sheets/install-map.ts';
import { labelSheetOf } from '../../core/sheets/label-sheet.ts';
import { PACKING_LIST, packingList } from '../../core/sheets/packing-list.ts';
import type { Sheet } from '../../core/sheets/page-frame.ts';
import { PANEL_LABELS, panelLabels } from '../../core/sheets/panel-labels.ts';
import { PATCH_SHEET, patchSheet } from '../../core/sheets/patch-sheet.ts';
import { QUOTE, quoteSheet } from '../../core/sheets/quote-sheet.ts';
import { SEAM_SHEET, seamSheet } from '../../core/sheets/seam-sheet.ts';
import { sheetsPdf } from '../../core/sheets/sheets-pdf.ts';
import { TICKET } from '../../core/sheets/ticket.ts';
import type { OpenedArtwork } from '../artwork/artwork-file.ts';
import { drawSeamPictures } from '../artwork/seam-pictures.ts';
import { drawSidePictures } from '../artwork/side-pictures.ts';
import { pauseBetweenTurns } from '../files/called-off.ts';
import { sheetFontFiles } from '../files/fonts.ts';
import { packedQuickly } from '../files/packed-quickly.ts';
import { PROGRAM_VERSION } from '../files/program.ts';
import { sha256Hex } from '../files/sha256.ts';
import { layoutRevision } from './layout-revision.ts';
import { sidePhotos, sidesWithPhoto } from './side-photos.ts';

export interface OutputSheet {
  readonly kind: DrawnKind;
  readonly name: string;
  readonly bytes: Uint8Array;
  readonly pageCount: number;
}

export interface OutputSheets {
  readonly sheets: readonly OutputSheet[];
  /** Codes of sides that the map shows as lines only, because their picture could not be drawn. */
  readonly sidesWithoutPicture: readonly string[];
  /** Codes of sides whose photo should be on the map but is not available. */
  readonly sidesWithoutPhoto: readonly string[];
}

const DOCUMENT_TYPES: Readonly<Record<DrawnKind, string>> = {
  map: INSTALL_MAP,
  'map-lines': INSTALL_MAP,
  ticket: TICKET,
  labels: PANEL_LABELS,
  'packing-list': PACKING_LIST,
  'check-in': CHECK_IN_SHEET,
  patch: PATCH_SHEET,
  quote: QUOTE,
  proof: CUSTOMER_PROOF,
  seams: SEAM_SHEET,
};

/** `onMissing` is called with each character that no font can draw. */
export const sheetFonts = (onMissing?: (character: string) => void): FontLibrary =>
  fontLibraryFromFiles(sheetFontFiles(), onMissing);

/** By the id of a side, or of a seam. */
type SidePictures = ReadonlyMap<string, RasterPicture>;

export interface SheetsRequest {
  readonly state: JobKnown;
  /** Absent: the map has no pictures. */
  readonly artwork: OpenedArtwork | undefined;
  /** Where photos of sides are kept; absent: the map goes without. */
  readonly archiveFolder?: string | undefined;
  /** Of its sides, where they were begun before. */
  readonly pictures?: Promise<SidePictures> | undefined;
  readonly kinds: readonly DrawnKind[];
  /** Only these panels are labelled; all where absent. */
  readonly panelIds?: ReadonlySet<string>;
  /** Which output the sheets go with; absent where they go with none. */
  readonly output?: OutputMark;
  /** What was entered of the output. */
  readonly record?: ProductionRecord | undefined;
  /** In a reprint: the record of the first output. */
  readonly firstRecord?: ProductionRecord | undefined;
  /** In a reprint: the color strip printed before its panels. */
  readonly strip?: ColorStrip | undefined;
  /** A reprint: map, ticket and packing list are also limited to these panels. */
  readonly isReprint?: boolean;
  /** Shown in the title blocks. */
  readonly logo?: ShopLogo | undefined;
}

export async function drawOutputSheets(
  request: SheetsRequest,
  fonts: FontLibrary,
  signal: AbortSignal,
): Promise<OutputSheets> {
  const { state, kinds } = request;
  const sides = sidesWithPicture(request);
  const pictures = await (request.pictures ?? drawMapPictures(request, signal));
  const seams = await drawnSeams(request, signal);
  const photographed = hasMap(kinds) && !request.isReprint ? sidesWithPhoto(state.job.sides) : [];
  const photos = await sidePhotos(photographed, request.archiveFolder);
  const made: OutputSheet[] = [];
  const pause = pauseBetweenTurns(signal);
  for (const kind of kinds) {
    signal.throwIfAborted();
    await pause();
    const sheets = drawnSheets(kind, request, { artworks: pictures, photos, seams }, fonts);
    const facts = {
      documentType: DOCUMENT_TYPES[kind],
      sha256: sheetDigest(request, kind, photos.size),
      // The verification changes the stamp, see main/services/verdict-sheets.ts.
      verdict: 'not-verified',
    } as const;
    const bytes = await sheetsPdf(state.job, sheets, facts, fonts, packedQuickly);
    made.push({ kind, name: sheetFileName(state.job.number, kind), bytes, pageCount: sheets.length });
  }
  // A side on no page has no picture that could be missing.
  const missing = sides.filter(({ id, page }) => page !== undefined && !pictures.has(id));
  const lost = photographed.filter(({ id }) => !photos.has(id));
  return {
    sheets: made,
    sidesWithoutPicture: missing.map(({ code }) => code),
    sidesWithoutPhoto: lost.map(({ code }) => code),
  };
}

/** Pictures that the map will show, by the id of their side. */
export async function drawMapPictures(request: SheetsRequest, signal: AbortSignal): Promise<SidePictures> {
  const { state, artwork } = request;
  const sides = sidesWithPicture(request);
  return artwork ? await drawSidePictures({ ...state.job, sides }, artwork, signal) : new Map();
}

const stretchesOf = ({ job, layouts, artwork }: JobKnown) => seamStretches(job, layouts, artwork?.scan);

const drawnSeams = async (
  { state, artwork, kinds }: SheetsRequest,
  signal: AbortSignal,
): Promise<SidePictures> =>
  artwork && kinds.includes('seams')
    ? await drawSeamPictures(state.job, stretchesOf(state), artwork, signal)
    : new Map();

const hasMap = (kinds: readonly DrawnKind[]): boolean => kinds.includes('map') || kinds.includes('map-lines');

function sidesWithPicture({ state, kinds, panelIds, isReprint }: SheetsRequest): Side[] {
  const { job, layouts } = state;
  if (!kinds.includes('map') && !kinds.includes('quote') && !kinds.includes('proof')) return [];
  if (!isReprint || !panelIds) return job.sides;
  return layoutsOfPanels(layouts, [...panelIds]).map(({ side }) => side);
}

function drawnSheets(
  kind: DrawnKind,
  { state, panelIds, isReprint = false, output, record, firstRecord, strip, logo }: SheetsRequest,
  { artworks, photos, seams }: Readonly<Record<'artworks' | 'photos' | 'seams', SidePictures>>,
  fonts: FontLibrary,
): readonly Sheet[] {
  const { job, layouts, measured } = state;
  const reprintedIds = isReprint && panelIds ? [...panelIds] : undefined;
  const produced = panelIds ? layoutsOfPanels(layouts, [...panelIds]) : layouts;
  const common = {
    fonts,
    hasStamp: true,
    revision: layoutRevision(state),
    ...(output && { output }),
    ...(logo && { logo: logoPicture(logo) }),
    ...(reprintedIds && { reprintedIds }),
    ...(strip && { strip }),
  };
  switch (kind) {
    case 'map':
    case 'map-lines': {
      const options = {
        ...common,
        measured,
        photos,
        artworkPicture: (side: Side) => (kind === 'map' ? artworks.get(side.id) : undefined),
      };
      const isEach = job.sheets?.mapPerVehicle === true;
      return isEach
        ? forEachUnit(job, layouts, (ofUnit, own) => installMap(ofUnit, own, options))
        : installMap(job, layouts, options);
    }
    case 'ticket': {
      const production = strip
        ? productionWithStrip(job, produced, strip, measured)
        : jobProduction(job, produced, measured);
      const scan = state.artwork?.scan;
      const operator = { facts: scan && printingFacts(job, scan), first: firstRecord, record };
      const findings = jobFindings({ ...state, production }, panelIds);
      return filmTickets(job, produced, production, { ...common, findings, operator });
    }
    case 'labels':
      return panelLabels(job, layouts, {
        fonts,
        sheet: labelSheetOf(job),
        ...(panelIds && { panelIds: [...panelIds] }),
        hasStamp: true,
        ...(output && { output }),
      });
    case 'check-in':
      // It belongs to the vehicle, not to verified panels.
      return forEachUnit(job, layouts, (ofUnit, own) =>
        checkInSheet(ofUnit, own, {
          fonts,
          isOfFleet: jobUnits(job).length > 1,
          revision: layoutRevision(state),
          ...(output && { output }),
          ...(logo && { logo: logoPicture(logo) }),
        }),
      );
    case 'patch':
      return patchSheet(job, layouts, { ...common, first: firstRecord });
    case 'proof': {
      const { output: _, hasStamp: __, ...plain } = common;
      const scan = state.artwork?.scan;
      return customerProof(job, layouts, {
        ...plain,
        facts: scan && proofFacts(job, layouts, scan),
        artworkPicture: (side) => artworks.get(side.id),
      });
    }
    case 'seams': {
      const { output: _, hasStamp: __, ...plain } = common;
      return seamSheet(job, stretchesOf(state), { ...plain, pictures: seams });
    }
    case 'quote': {
      const { output: _, hasStamp: __, ...plain } = common;
      return quoteSheet(job, layouts, jobProduction(job, layouts, measured), {
        ...plain,
        artworkPicture: (side) => artworks.get(side.id),
      });
    }
    case 'packing-list':
      return forEachUnit(job, produced, (ofUnit, own) => packingList(ofUnit, own, common));
  }
}

/** Papers that go with one vehicle, one after the other. */
function forEachUnit(
  job: Job,
  layouts: readonly SideLayout[],
  draw: (ofUnit: Job, own: readonly SideLayout[]) => readonly Sheet[],
): readonly Sheet[] {
  if (jobUnits(job).length === 1) return draw(job, layouts);
  return unitsOfJob(job, layouts).flatMap((unit) => draw(unit.job, unit.layouts));
}

const logoPicture = ({ rgbBase64, widthPx, heightPx }: ShopLogo): RasterPicture => ({
  widthPx,
  heightPx,
  rgb: Buffer.from(rgbBase64, 'base64'),
});

/** Everything that decides what a sheet shows: the job names its artwork by hash. */
function sheetDigest(
  {
    state: { job, measured },
    artwork,
    panelIds,
    isReprint = false,
    output,
    record,
    firstRecord,
    strip,
  }: SheetsRequest,
  kind: DrawnKind,
  photoCount: number,
): string {
  const parts = [PROGRAM_VERSION, jobToJson(job)];
  if (kind === 'map-lines') parts.push('lines');
  if (measured && (kind === 'ticket' || kind === 'map' || kind === 'map-lines' || kind === 'quote'))
    parts.push(JSON.stringify(measured));
  if (isReprint) parts.push('reprint');
  if (panelIds) parts.push(...[...panelIds].toSorted());
  if (output) parts.push(JSON.stringify(output));
  if (strip) parts.push(JSON.stringify([strip.panel.id, strip.printed]));
  if (record) parts.push(`record ${JSON.stringify(record)}`);
  if (firstRecord) parts.push(JSON.stringify(firstRecord));
  if (!artwork) parts.push('without artwork');
  if (photoCount > 0) parts.push(`photos ${photoCount}`);
  return sha256Hex(new TextEncoder().encode(parts.join('\n')));
}

export function pictureRemarks({
  sidesWithoutPicture,
  sidesWithoutPhoto,
}: Pick<OutputSheets, 'sidesWithoutPicture' | 'sidesWithoutPhoto'>): string[] {
  const remarks: string[] = [];
  if (sidesWithoutPicture.length > 0)
    remarks.push(
      `The install map shows ${sidesWithoutPicture.join(', ')} as a line drawing: the preview could not draw the artwork.`,
    );
  if (sidesWithoutPhoto.length > 0)
    remarks.push(
      `The install map goes without the photo of ${sidesWithoutPhoto.join(', ')}: it is not in the archive, or cannot be read.`,
    );
  return remarks;
}

export function glyphRemarks(missing: ReadonlySet<string>): string[] {
  if (missing.size === 0) return [];
  const names = [...missing].map(
    (char) => `U+${codePointOf(char).toString(16).toUpperCase().padStart(4, '0')}`,
  );
  return [`The fonts of sheets and marks lack ${names.join(', ')}; a box stands in place of each.`];
}
