/**
 * Contours as DXF R12 (AC1009), the oldest text form that cutters share: closed lines as POLYLINE, straight ones as
 * LINE, one layer per kind. The format has no unit: millimeters are used, as a comment and the file name say. y goes
 * up. Group codes are from memory and were checked with an independent reader.
 */
import { decimalText } from '../measure/length-text.ts';
import { firstOf, itemAt } from '../measure/present.ts';
import { CONTOUR_KINDS, type ContourKind, type ContourPath, type Contours } from './contours.ts';

/** Names of at most 31 characters: capital letters, digits, $ _ and -. */
const LAYERS: Readonly<Record<ContourKind, string>> = {
  outline: 'OUTLINE',
  openings: 'OPENINGS',
  'strip-cuts': 'STRIP_CUTS',
};

type Group = readonly [code: number, value: string | number];

export function contourDxf({ title, widthMm, heightMm, paths }: Contours): string {
  const kinds = CONTOUR_KINDS.filter((kind) => paths.some((path) => path.kind === kind));
  const groups: Group[] = [
    [999, `${asciiText(title)}: all lengths are millimeters, y goes up`],
    ...section('HEADER', [
      [9, '$ACADVER'],
      [1, 'AC1009'],
      [9, '$EXTMIN'],
      ...point({ x: 0, y: 0 }),
      [9, '$EXTMAX'],
      ...point({ x: widthMm, y: heightMm }),
    ]),
    ...section('TABLES', [
      ...table('LTYPE', [
        [
          [0, 'LTYPE'],
          [2, 'CONTINUOUS'],
          [70, 0],
          [3, 'Solid line'],
          [72, 65],
          [73, 0],
          [40, 0],
        ],
      ]),
      ...table(
        'LAYER',
        kinds.map((kind, index) => [
          [0, 'LAYER'],
          [2, LAYERS[kind]],
          [70, 0],
          [62, index + 1],
          [6, 'CONTINUOUS'],
        ]),
      ),
    ]),
    ...section(
      'ENTITIES',
      paths.flatMap((path) => entity(path, heightMm)),
    ),
    [0, 'EOF'],
  ];
  return groups.map(([code, value]) => `${String(code).padStart(3)}\r\n${valueText(value)}\r\n`).join('');
}

const valueText = (value: string | number): string =>
  typeof value === 'number' ? decimalText(value, 6) : value;

const section = (name: string, content: readonly Group[]): Group[] => [
  [0, 'SECTION'],
  [2, name],
  ...content,
  [0, 'ENDSEC'],
];

const table = (name: string, entries: readonly (readonly Group[])[]): Group[] => [
  [0, 'TABLE'],
  [2, name],
  [70, entries.length],
  ...entries.flat(),
  [0, 'ENDTAB'],
];

const point = ({ x, y }: { readonly x: number; readonly y: number }, at = 0): Group[] => [
  [10 + at, x],
  [20 + at, y],
  [30 + at, 0],
];

function entity({ kind, points, isClosed }: ContourPath, heightMm: number): Group[] {
  const places = points.map(({ x, y }) => ({ x, y: heightMm - y }));
  const layer: Group = [8, LAYERS[kind]];
  if (places.length === 2)
    return [[0, 'LINE'], layer, ...point(firstOf(places)), ...point(itemAt(places, 1), 1)];
  return [
    [0, 'POLYLINE'],
    layer,
    [66, 1],
    ...point({ x: 0, y: 0 }),
    [70, isClosed ? 1 : 0],
    ...places.flatMap((place): Group[] => [[0, 'VERTEX'], layer, ...point(place)]),
    [0, 'SEQEND'],
    layer,
  ];
}

const asciiText = (text: string): string => text.replaceAll(/[^\x20-\x7e]/g, '?');
