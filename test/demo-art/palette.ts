/** A DeviceCMYK color, each part in percent. */
export interface ProcessInk {
  readonly kind: 'process';
  readonly c: number;
  readonly m: number;
  readonly y: number;
  readonly k: number;
}

/** A tint of the library's house red, printed from its own plate: 0…100 %. */
export interface SpotInk {
  readonly kind: 'spot';
  readonly tint: number;
}

/** A DeviceGray level, 0 dark … 100 light. Only soft masks use it. */
export interface GrayInk {
  readonly kind: 'gray';
  readonly level: number;
}

export type Ink = ProcessInk | SpotInk | GrayInk;

const process = (c: number, m: number, y: number, k: number): ProcessInk => ({ kind: 'process', c, m, y, k });

/** The spot color's name as the printer sees it, and the process mix that stands in for it. */
export const SPOT_NAME = 'ACL Alder Red';
export const SPOT_ALTERNATE = process(4, 84, 76, 2);

export const gray = (level: number): GrayInk => ({ kind: 'gray', level });

export const alderRed = (tint = 100): SpotInk => ({ kind: 'spot', tint });

export const PALETTE = {
  deepTeal: process(92, 50, 52, 42),
  teal: process(84, 34, 46, 14),
  lake: process(66, 14, 36, 2),
  sage: process(40, 5, 32, 0),
  mist: process(20, 2, 14, 0),
  cream: process(1, 3, 13, 0),
  paper: process(3, 6, 20, 0),
  peach: process(0, 24, 38, 0),
  gold: process(0, 28, 86, 0),
  amber: process(0, 48, 90, 0),
  ink: process(82, 52, 52, 66),
  black: process(0, 0, 0, 100),
  night: process(100, 82, 38, 38),
  dusk: process(82, 72, 22, 6),
  plum: process(52, 66, 18, 2),
  rose: process(8, 52, 32, 0),
  white: process(0, 0, 0, 0),
} as const;
