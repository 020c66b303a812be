/**
 * The numbers of the demo: two vehicles of the Alder County Library, side by side with the artwork drawn on them.
 * All lengths are finished millimeters from a side's top left corner as seen by someone standing before it,
 * y down. The artwork is drawn from these numbers, and demo jobs and tests read them.
 */
export interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export interface BodyLine {
  readonly id: string;
  readonly name: string;
  readonly kind: 'crease' | 'molding' | 'body-gap' | 'rivet-row';
  readonly direction: 'horizontal' | 'vertical';
  readonly at: number;
  /** Of one that slopes or curves: places along it, and how far off `at` it lies there. */
  readonly shape?: readonly (readonly [along: number, off: number])[];
  /** Where it begins and ends along its own direction; absent: the whole side. */
  readonly from?: number;
  readonly to?: number;
}

/** Lettering that no seam may cross. The box is its ink, to the next whole millimeter above. */
export interface LetteringBox extends Box {
  readonly id: string;
  readonly text: string;
}

export interface NoFilmArea extends Box {
  readonly id: string;
  readonly name: string;
  readonly kind:
    | 'window'
    | 'wheel-arch'
    | 'lamp'
    | 'dot-tape'
    | 'handle'
    | 'sensor'
    | 'license-plate'
    | 'fuel-flap';
}

/** A door by its gap. */
export interface SceneDoor extends Box {
  readonly id: string;
  readonly name: string;
}

/** A groove whose film has to be fed in. */
export interface SceneRecess extends Box {
  readonly id: string;
  readonly name: string;
  readonly depthMm: number;
}

export interface SceneSide {
  /** Short code that begins each panel number. */
  readonly code: string;
  readonly name: string;
  readonly widthMm: number;
  readonly heightMm: number;
  readonly bleedMm: number;
  /** The edge of the side that is nearer to the front of the unit. */
  readonly front: 'left' | 'right' | 'none';
  /** Page of the artwork, counted from 1. */
  readonly page: number;
  readonly bodyLines: readonly BodyLine[];
  readonly lettering: readonly LetteringBox[];
  readonly noFilmAreas: readonly NoFilmArea[];
  readonly doors?: readonly SceneDoor[];
  readonly recesses?: readonly SceneRecess[];
}

export interface SceneUnit {
  readonly fileName: string;
  readonly title: string;
  readonly sides: readonly SceneSide[];
}

const horizontal = (id: string, name: string, kind: BodyLine['kind'], at: number): BodyLine => ({
  id,
  name,
  kind,
  direction: 'horizontal',
  at,
});

const vertical = (id: string, name: string, kind: BodyLine['kind'], at: number): BodyLine => ({
  id,
  name,
  kind,
  direction: 'vertical',
  at,
});

const lettering = (
  id: string,
  text: string,
  x: number,
  y: number,
  width: number,
  height: number,
): LetteringBox => ({ id, text, x, y, width, height });

const noFilmArea = (
  id: string,
  name: string,
  kind: NoFilmArea['kind'],
  x: number,
  y: number,
  width: number,
  height: number,
): NoFilmArea => ({ id, name, kind, x, y, width, height });

/** Height of the bookmobile's long crease, the same on all its sides. */
export const SILL_MM = 1880;

/** The belt line rises towards the rear. Here it runs from the left, as on the driver side. */
const BELT: readonly (readonly [along: number, at: number])[] = [
  [0, 985],
  [1010, 966],
  [1930, 950],
  [4200, 914],
  [5600, 896],
  [6880, 884],
  [7200, 882],
];

function belt(points: typeof BELT): BodyLine {
  const at = points[0]![1];
  const shape = points.map(([along, across]) => [along, across - at] as const);
  return { ...horizontal('belt', 'Belt line', 'molding', at), shape };
}

const BOOKMOBILE_LEFT: SceneSide = {
  code: 'DS',
  name: 'Driver side',
  widthMm: 7200,
  heightMm: 2300,
  bleedMm: 69.85,
  front: 'left',
  page: 1,
  bodyLines: [
    belt(BELT),
    horizontal('sill', 'Sill line', 'crease', SILL_MM),
    vertical('door-front', 'Cab door, front gap', 'body-gap', 1010),
    vertical('door-rear', 'Cab door, rear gap', 'body-gap', 1930),
    vertical('corner', 'Rear corner rivets', 'rivet-row', 6880),
  ],
  lettering: [
    lettering('title', 'Alder County Library', 2150, 130, 3930, 378),
    lettering('slogan', 'A whole library, coming up your street', 2160, 580, 3000, 162),
    lettering('word', 'Bookmobile', 2150, 1000, 4560, 615),
    lettering('phone', '555-0142', 2250, 1698, 640, 112),
    lettering('address', 'library.example.org', 3060, 1702, 1210, 127),
    lettering('motto', 'Read. Roam. Return.', 1120, 1806, 700, 56),
  ],
  noFilmAreas: [
    noFilmArea('cab-window', 'Cab window', 'window', 130, 300, 710, 580),
    noFilmArea('door-window', 'Cab door window', 'window', 1120, 300, 700, 580),
    noFilmArea('door-handle', 'Cab door handle', 'handle', 1790, 1030, 100, 90),
    noFilmArea('arch-front', 'Front wheel arch', 'wheel-arch', 50, 1780, 900, 520),
    noFilmArea('arch-rear', 'Rear wheel arch', 'wheel-arch', 5080, 1760, 980, 540),
    noFilmArea('fuel', 'Fuel flap', 'fuel-flap', 4500, 1950, 190, 190),
    noFilmArea('lamp-side', 'Side marker lamp', 'lamp', 6960, 2070, 120, 60),
    noFilmArea('sensor-side', 'Blind-spot sensor', 'sensor', 6970, 1930, 90, 90),
  ],
};

const BOOKMOBILE_RIGHT: SceneSide = {
  code: 'PS',
  name: 'Passenger side',
  widthMm: 7200,
  heightMm: 2300,
  bleedMm: 69.85,
  front: 'right',
  page: 2,
  bodyLines: [
    belt(BELT.map(([along, at]) => [7200 - along, at] as const).toReversed()),
    horizontal('sill', 'Sill line', 'crease', SILL_MM),
    vertical('corner', 'Rear corner rivets', 'rivet-row', 320),
    vertical('door-front', 'Entrance, front gap', 'body-gap', 6190),
  ],
  lettering: [
    lettering('title', 'Alder County Library', 930, 130, 3930, 378),
    lettering('slogan', 'Every story starts with an open door', 1480, 580, 3370, 192),
    lettering('word', 'Hop in. Read on.', 420, 1008, 4440, 574),
    lettering('name', 'Bookmobile', 2310, 1697, 700, 95),
    lettering('phone', '555-0142', 3130, 1705, 560, 98),
    lettering('address', 'library.example.org', 3800, 1702, 990, 104),
  ],
  noFilmAreas: [
    noFilmArea('cab-window', 'Cab window', 'window', 6360, 300, 710, 580),
    noFilmArea('entrance-front', 'Entrance window, front leaf', 'window', 5670, 260, 450, 1240),
    noFilmArea('entrance-rear', 'Entrance window, rear leaf', 'window', 5080, 260, 450, 1240),
    noFilmArea('entrance-handle', 'Entrance handle', 'handle', 5630, 1620, 60, 160),
    noFilmArea('arch-front', 'Front wheel arch', 'wheel-arch', 6250, 1780, 900, 520),
    noFilmArea('arch-rear', 'Rear wheel arch', 'wheel-arch', 1140, 1760, 980, 540),
    noFilmArea('lamp-side', 'Side marker lamp', 'lamp', 120, 2070, 120, 60),
    noFilmArea('sensor-side', 'Blind-spot sensor', 'sensor', 140, 1930, 90, 90),
  ],
  doors: [{ id: 'entrance', name: 'Entrance, sliding leaf', x: 5010, y: 0, width: 590, height: 2300 }],
  recesses: [{ id: 'rail', name: 'Awning rail', x: 930, y: 40, width: 3930, height: 60, depthMm: 8 }],
};

const BOOKMOBILE_REAR: SceneSide = {
  code: 'REAR',
  name: 'Rear',
  widthMm: 2200,
  heightMm: 2300,
  bleedMm: 57.15,
  front: 'none',
  page: 3,
  bodyLines: [
    horizontal('hatch', 'Hatch and tailgate gap', 'body-gap', 1150),
    horizontal('sill', 'Sill line', 'crease', SILL_MM),
  ],
  lettering: [
    lettering('title', 'Alder County Library', 210, 150, 1780, 172),
    lettering('slogan', 'Next stop: your street', 300, 1268, 1600, 145),
    lettering('phone', '555-0142', 700, 1489, 800, 140),
    lettering('address', 'library.example.org', 520, 1712, 1160, 122),
  ],
  noFilmAreas: [
    noFilmArea('lamp-high', 'High brake lamp', 'lamp', 950, 30, 300, 50),
    noFilmArea('camera', 'Backup camera', 'sensor', 1060, 1070, 80, 50),
    noFilmArea('handle', 'Tailgate handle', 'handle', 1000, 1180, 200, 60),
    noFilmArea('lamp-left', 'Left lamp cluster', 'lamp', 60, 1500, 130, 340),
    noFilmArea('lamp-right', 'Right lamp cluster', 'lamp', 2010, 1500, 130, 340),
    noFilmArea('license-plate', 'License plate', 'license-plate', 940, 2010, 320, 170),
    noFilmArea('sensor-left', 'Left parking sensor', 'sensor', 420, 2225, 45, 45),
    noFilmArea('sensor-right', 'Right parking sensor', 'sensor', 1735, 2225, 45, 45),
    noFilmArea('window', 'Rear window', 'window', 470, 400, 1260, 560),
  ],
};

/** Rivet rows of the trailer, from its front: four bays of 1,220 mm and a shorter one at the rear. */
export const TRAILER_BAY_MM = 1220;
const TRAILER_ROWS = [1, 2, 3, 4] as const;

const TRAILER_LEFT: SceneSide = {
  code: 'SS',
  name: 'Street side',
  widthMm: 6000,
  heightMm: 2100,
  bleedMm: 76.2,
  front: 'left',
  page: 1,
  bodyLines: [
    ...TRAILER_ROWS.map((row) =>
      vertical(`rivets-${row}`, `Rivet row ${row}`, 'rivet-row', row * TRAILER_BAY_MM),
    ),
    horizontal('rail', 'Floor rail', 'molding', 1790),
  ],
  lettering: [
    lettering('title-1', 'Alder', 2830, 388, 706, 203),
    lettering('title-2', 'County', 3785, 397, 938, 254),
    lettering('title-3', 'Library', 4985, 389, 951, 262),
    lettering('slogan-1', 'Story time', 2836, 694, 634, 127),
    lettering('slogan-2', 'under the', 3797, 692, 600, 99),
    lettering('slogan-3', 'open sky', 4994, 693, 551, 128),
    lettering('phone', '555-0142', 4990, 1484, 620, 108),
    lettering('address', 'library.example.org', 4990, 1658, 900, 95),
  ],
  noFilmAreas: [
    noFilmArea('arch', 'Wheel arch', 'wheel-arch', 3750, 1600, 1040, 500),
    noFilmArea('lamp-front', 'Front marker lamp', 'lamp', 70, 1860, 120, 60),
    noFilmArea('lamp-rear', 'Rear marker lamp', 'lamp', 5810, 1860, 120, 60),
    noFilmArea('tape-front', 'Front DOT reflective tape', 'dot-tape', 260, 1960, 800, 50),
    noFilmArea('tape-rear', 'Rear DOT reflective tape', 'dot-tape', 4960, 1960, 800, 50),
  ],
};

const TRAILER_RIGHT: SceneSide = {
  code: 'CS',
  name: 'Curb side',
  widthMm: 6000,
  heightMm: 2100,
  bleedMm: 76.2,
  front: 'right',
  page: 2,
  bodyLines: [
    ...TRAILER_ROWS.map((row) =>
      vertical(`rivets-${row}`, `Rivet row ${row}`, 'rivet-row', 6000 - row * TRAILER_BAY_MM),
    ).reverse(),
    horizontal('rail', 'Floor rail', 'molding', 1790),
  ],
  lettering: [
    lettering('title-1', 'Alder', 284, 388, 706, 203),
    lettering('title-2', 'County', 1245, 397, 938, 254),
    lettering('title-3', 'Library', 2440, 389, 951, 262),
    lettering('slogan-1', 'Borrow,', 291, 699, 509, 119),
    lettering('slogan-2', 'build,', 1256, 693, 363, 125),
    lettering('slogan-3', 'begin.', 2452, 694, 405, 140),
    lettering('phone', '555-0142', 110, 1484, 620, 108),
    lettering('address', 'library.example.org', 110, 1658, 900, 95),
  ],
  noFilmAreas: [
    noFilmArea('arch', 'Wheel arch', 'wheel-arch', 1210, 1600, 1040, 500),
    noFilmArea('lamp-front', 'Front marker lamp', 'lamp', 5810, 1860, 120, 60),
    noFilmArea('lamp-rear', 'Rear marker lamp', 'lamp', 70, 1860, 120, 60),
    noFilmArea('tape-front', 'Front DOT reflective tape', 'dot-tape', 4940, 1960, 800, 50),
    noFilmArea('tape-rear', 'Rear DOT reflective tape', 'dot-tape', 240, 1960, 800, 50),
  ],
};

export const BOOKMOBILE: SceneUnit = {
  fileName: 'bookmobile.pdf',
  title: 'Alder County Library bookmobile, drawn at 1:10',
  sides: [BOOKMOBILE_LEFT, BOOKMOBILE_RIGHT, BOOKMOBILE_REAR],
};

export const TRAILER: SceneUnit = {
  fileName: 'outreach-trailer.pdf',
  title: 'Alder County Library outreach trailer, drawn at 1:10',
  sides: [TRAILER_LEFT, TRAILER_RIGHT],
};

export function sideLettering(side: SceneSide, id: string): LetteringBox {
  const found = side.lettering.find((box) => box.id === id);
  if (!found) throw new Error(`The scene has no lettering '${id}' on ${side.name}`);
  return found;
}
