/** One step of an outline. Coordinates are finished millimeters, y down, unless a motif says otherwise. */
export type Step =
  | readonly ['M', number, number]
  | readonly ['L', number, number]
  | readonly ['C', number, number, number, number, number, number]
  | readonly ['Z'];

export type Path = readonly Step[];
export type XY = readonly [x: number, y: number];

/** Where a motif goes: turned clockwise in degrees, scaled, then moved. `flip` mirrors it left to right first. */
export interface Placement {
  readonly x: number;
  readonly y: number;
  readonly scale?: number;
  readonly turn?: number;
  readonly flip?: boolean;
}

/** Control length that makes four cubic curves a circle to within 0.03 % of the radius. */
const QUARTER = 0.5522847498;

export const polygon = (points: readonly XY[]): Path => [
  ...points.map(([x, y], i): Step => [i === 0 ? 'M' : 'L', x, y]),
  ['Z'],
];

export const rectangle = (x: number, y: number, width: number, height: number): Path =>
  polygon([
    [x, y],
    [x + width, y],
    [x + width, y + height],
    [x, y + height],
  ]);

export const line = (points: readonly XY[]): Path =>
  points.map(([x, y], i): Step => [i === 0 ? 'M' : 'L', x, y]);

export function ellipse(cx: number, cy: number, rx: number, ry: number = rx): Path {
  const kx = rx * QUARTER;
  const ky = ry * QUARTER;
  return [
    ['M', cx + rx, cy],
    ['C', cx + rx, cy + ky, cx + kx, cy + ry, cx, cy + ry],
    ['C', cx - kx, cy + ry, cx - rx, cy + ky, cx - rx, cy],
    ['C', cx - rx, cy - ky, cx - kx, cy - ry, cx, cy - ry],
    ['C', cx + kx, cy - ry, cx + rx, cy - ky, cx + rx, cy],
    ['Z'],
  ];
}

export function roundedRectangle(x: number, y: number, width: number, height: number, radius: number): Path {
  const r = Math.min(radius, width / 2, height / 2);
  const k = r * (1 - QUARTER);
  const right = x + width;
  const bottom = y + height;
  return [
    ['M', x + r, y],
    ['L', right - r, y],
    ['C', right - k, y, right, y + k, right, y + r],
    ['L', right, bottom - r],
    ['C', right, bottom - k, right - k, bottom, right - r, bottom],
    ['L', x + r, bottom],
    ['C', x + k, bottom, x, bottom - k, x, bottom - r],
    ['L', x, y + r],
    ['C', x, y + k, x + k, y, x + r, y],
    ['Z'],
  ];
}

/** A curve through all points, easy at every one (Catmull–Rom, written as cubic curves). */
export function curve(points: readonly XY[]): Path {
  const at = (i: number): XY => points[Math.max(0, Math.min(points.length - 1, i))] ?? [0, 0];
  const steps: Step[] = [['M', ...at(0)]];
  for (let i = 0; i < points.length - 1; i += 1) {
    const [p0, p1, p2, p3] = [at(i - 1), at(i), at(i + 1), at(i + 2)];
    steps.push([
      'C',
      p1[0] + (p2[0] - p0[0]) / 6,
      p1[1] + (p2[1] - p0[1]) / 6,
      p2[0] - (p3[0] - p1[0]) / 6,
      p2[1] - (p3[1] - p1[1]) / 6,
      p2[0],
      p2[1],
    ]);
  }
  return steps;
}

/** A landform: the curve through `crest`, closed along the line `floor` below it. */
export function landform(crest: readonly XY[], floor: number): Path {
  const first = crest[0] ?? [0, 0];
  const last = crest.at(-1) ?? first;
  return [...curve(crest), ['L', last[0], floor], ['L', first[0], floor], ['Z']];
}

/** The outline with every point sent through `move`. */
export function pathMapped(path: Path, move: (x: number, y: number) => XY): Path {
  return path.map((step): Step => {
    if (step[0] === 'Z') return step;
    if (step[0] === 'C') {
      return ['C', ...move(step[1], step[2]), ...move(step[3], step[4]), ...move(step[5], step[6])];
    }
    return [step[0], ...move(step[1], step[2])];
  });
}

export function pathPlaced(path: Path, place: Placement): Path {
  const angle = ((place.turn ?? 0) * Math.PI) / 180;
  const scale = place.scale ?? 1;
  const [cos, sin] = [Math.cos(angle) * scale, Math.sin(angle) * scale];
  const side = place.flip ? -1 : 1;
  return pathMapped(path, (x, y) => [place.x + side * x * cos - y * sin, place.y + side * x * sin + y * cos]);
}
