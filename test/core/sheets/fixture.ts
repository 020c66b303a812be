import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type FontLibrary, fontLibraryFromFiles } from '../../../core/drawing/font-library.ts';
import { jobEmpty } from '../../../core/job/defaults.ts';
import type { Job, Joint, Region, Side } from '../../../core/job/schema.ts';
import type { SheetSizeName } from '../../../core/sheets/sheet-size.ts';
import { isLong } from '../../support/series.ts';

/** The sizes that sheets are laid out on: all of them in the series, a large and a small one in its sample. */
export const TRIED_SIZES: readonly SheetSizeName[] = isLong
  ? ['A4', 'A3', 'Letter', 'Tabloid']
  : ['A3', 'Letter'];

const packageFile = (...path: string[]) =>
  readFileSync(join(import.meta.dirname, '../../../node_modules', ...path));

export const FONT_FILES = {
  regular: packageFile('@expo-google-fonts/noto-sans/400Regular/NotoSans_400Regular.ttf'),
  bold: packageFile('@expo-google-fonts/noto-sans/700Bold/NotoSans_700Bold.ttf'),
  fallbackRegular: packageFile('dejavu-fonts-ttf/ttf/DejaVuSans.ttf'),
  fallbackBold: packageFile('dejavu-fonts-ttf/ttf/DejaVuSans-Bold.ttf'),
};

export const testFonts = (onMissing?: (character: string) => void): FontLibrary =>
  fontLibraryFromFiles(FONT_FILES, onMissing);

const joint = (id: string, atMm: number, change: Partial<Joint> = {}): Joint => ({
  id,
  kind: 'lap',
  atMm,
  firstMm: 0,
  secondMm: 25,
  top: 'second',
  ...change,
});

export const panelRegion = (id: string): Region => ({ kind: 'panel', id });

/** A side at 1:10 with nothing on it yet; the layout is one panel. */
export function sideOf(
  code: string,
  name: string,
  finished: { width: number; height: number },
  change: Partial<Side> = {},
): Side {
  return {
    id: `side-${code.toLowerCase()}`,
    code,
    name,
    page: 1,
    artworkRect: { xMm: 30, yMm: 40, widthMm: finished.width / 10, heightMm: finished.height / 10 },
    front: 'none',
    bleed: { top: 40, right: 55, bottom: 60, left: 50 },
    bodyLines: [],
    noSeamAreas: [],
    ground: [],
    noFilmAreas: [],
    layout: panelRegion(`${code.toLowerCase()}-only`),
    notes: '',
    ...change,
  };
}

/** Vertical seams at equal distances: the drops of a trailer or a box body. */
export function dropsRegion(
  prefix: string,
  widthMm: number,
  count: number,
  change: (index: number) => Partial<Joint> = () => ({}),
): Region {
  if (count === 1) return panelRegion(`${prefix}-1`);
  const joints = Array.from({ length: count - 1 }, (_, i) =>
    joint(`${prefix}-seam-${i + 1}`, Math.round((widthMm * (i + 1)) / count), change(i)),
  );
  const parts = Array.from({ length: count }, (_, i) => panelRegion(`${prefix}-${i + 1}`));
  return { kind: 'split', seams: 'vertical', joints, parts };
}

/** The left side of the bookmobile: a cab door cut vertically beside a body with horizontal seams. */
const bookmobileLeft: Side = sideOf(
  'LH',
  'Left side',
  { width: 7200, height: 2300 },
  {
    front: 'left',
    bodyLines: [
      { id: 'belt', name: 'Belt line', kind: 'molding', direction: 'horizontal', atMm: 1120 },
      { id: 'skirt', name: 'Skirt rail', kind: 'rivet-row', direction: 'horizontal', atMm: 1790 },
      { id: 'door', name: 'Rear edge of cab door', kind: 'body-gap', direction: 'vertical', atMm: 1310 },
      {
        id: 'post',
        name: 'Service hatch post',
        kind: 'crease',
        direction: 'vertical',
        atMm: 5020,
        extent: { fromMm: 1120, toMm: 2300 },
      },
    ],
    noFilmAreas: [
      {
        id: 'cab-window',
        name: 'Cab door window',
        kind: 'window',
        rect: { xMm: 280, yMm: 330, widthMm: 820, heightMm: 640 },
        clearanceMm: 20,
      },
      {
        id: 'rear-arch',
        name: 'Rear wheel arch',
        kind: 'wheel-arch',
        rect: { xMm: 5230, yMm: 1650, widthMm: 1060, heightMm: 650 },
        clearanceMm: 30,
      },
      {
        id: 'marker',
        name: 'Side marker lamp',
        kind: 'lamp',
        rect: { xMm: 6890, yMm: 1900, widthMm: 140, heightMm: 70 },
        clearanceMm: 10,
      },
      {
        id: 'sensor',
        name: 'Blind spot sensor',
        kind: 'sensor',
        rect: { xMm: 6850, yMm: 2060, widthMm: 180, heightMm: 110 },
        clearanceMm: 15,
      },
    ],
    layout: {
      kind: 'split',
      seams: 'vertical',
      joints: [joint('door-gap', 1310, { kind: 'gap', firstMm: 20, secondMm: 15 })],
      parts: [
        {
          kind: 'split',
          seams: 'vertical',
          joints: [joint('door-mid', 640, { firstMm: 10, secondMm: 15, top: 'first' })],
          parts: [panelRegion('door-a'), panelRegion('door-b')],
        },
        {
          kind: 'split',
          seams: 'horizontal',
          joints: [
            joint('belt-seam', 1130, { firstMm: 4, secondMm: 22, top: 'first' }),
            joint('skirt-seam', 1820, { firstMm: 18, secondMm: 12, top: 'first' }),
          ],
          parts: [
            panelRegion('roof'),
            {
              kind: 'split',
              seams: 'vertical',
              joints: [joint('mid-seam', 4350, { firstMm: 5, secondMm: 30, top: 'first' })],
              parts: [panelRegion('mid-front'), panelRegion('mid-rear')],
            },
            panelRegion('skirt'),
          ],
        },
      ],
    },
  },
);

const bookmobileRear: Side = sideOf(
  'RR',
  'Rear doors',
  { width: 2080, height: 2250 },
  {
    noFilmAreas: [
      {
        id: 'license-plate',
        name: 'Number plate',
        kind: 'license-plate',
        rect: { xMm: 780, yMm: 1930, widthMm: 520, heightMm: 130 },
        clearanceMm: 10,
      },
    ],
    layout: dropsRegion('rear', 2080, 2, () => ({ kind: 'butt', firstMm: 0, secondMm: 0 })),
  },
);

/** The Alder County Library bookmobile, two sides of it. */
export function bookmobileJob(change: Partial<Job> = {}): Job {
  const empty = jobEmpty({
    id: 'bookmobile',
    number: 'ACL-2611',
    name: 'Bookmobile 2026',
    customer: 'Alder County Library',
    date: '2026-11-25',
  });
  return {
    ...empty,
    vehicles: [
      {
        id: 'v1',
        kind: 'van',
        units: [{ unitNumber: 'Step van, walk-in body', licensePlate: 'AL 4471' }],
      },
    ],
    preparedBy: 'R. Okafor',
    artwork: { fileName: 'bookmobile.pdf', sha256: '5f'.repeat(32), sizeBytes: 48_221, box: 'trim' },
    sides: [bookmobileLeft, bookmobileRear],
    ...change,
  };
}

/** The outreach trailer: one drop per bay, wide laps that the installer shifts and trims. */
export function trailerJob(count: number, change: Partial<Job> = {}): Job {
  const drops = dropsRegion('drop', 6040, count, () => ({ firstMm: 70, secondMm: 20, top: 'second' }));
  const side = sideOf('TL', 'Trailer left', { width: 6040, height: 2130 }, { front: 'right', layout: drops });
  const withLines: Side = {
    ...side,
    bodyLines: [{ id: 'rub', name: 'Rub rail', kind: 'molding', direction: 'horizontal', atMm: 1870 }],
  };
  return bookmobileJob({ number: 'ACL-2612', name: 'Outreach trailer', sides: [withLines], ...change });
}
