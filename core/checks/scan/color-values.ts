/** What the components of a color tell: ink sum, whether it is white, whether overprint drops it. */
import type { ColorSpace } from '../../pdf/content/color-space.ts';
import type { Color } from '../../pdf/content/graphics-state.ts';

const PROCESS_PLATES = 4;
const PROCESS_INKS = ['Cyan', 'Magenta', 'Yellow', 'Black'];
/** Within this distance of no ink or full light, film shows no tone. */
const NEAR_WHITE = 0.03;

/** Ink sum of a color in percent from its components, or undefined where they state light, not ink. */
export function inkPercent({ space, values }: Pick<Color, 'space' | 'values'>): number | undefined {
  const plates = inkPlates(space);
  return plates && 100 * values.reduce((total, value, i) => total + value * (plates[i] ?? 0), 0);
}

/**
 * Number of plates that each component of a color prints on, or undefined where components state light. A spot ink
 * counts as itself; `All` is on each of the four process plates.
 */
export function inkPlates(space: ColorSpace): readonly number[] | undefined {
  switch (space.family) {
    case 'DeviceCMYK':
      return ONE_EACH;
    case 'ICCBased':
      return space.components === PROCESS_PLATES ? ONE_EACH : undefined;
    case 'Separation':
    case 'DeviceN':
      return space.inks.map((name) => (name === 'None' ? 0 : name === 'All' ? PROCESS_PLATES : 1));
    default:
      return undefined;
  }
}

const ONE_EACH: readonly number[] = PROCESS_INKS.map(() => 1);

/** Whether a color prints nothing visible. What cannot be determined is not white. */
export function isNearWhite({ space, values, pattern }: Color): boolean {
  if (pattern !== undefined || values.length === 0) return false;
  switch (space.family) {
    case 'DeviceGray':
    case 'CalGray':
    case 'DeviceRGB':
    case 'CalRGB':
      return isFullLight(values);
    case 'Lab':
      return (values[0] ?? 0) >= 100 * (1 - NEAR_WHITE);
    case 'ICCBased':
      return space.components === PROCESS_PLATES ? isNoInk(values) : isFullLight(values);
    case 'DeviceCMYK':
    case 'Separation':
    case 'DeviceN':
      return isNoInk(values);
    default:
      return false;
  }
}

const isFullLight = (values: readonly number[]): boolean => values.every((value) => value >= 1 - NEAR_WHITE);
const isNoInk = (values: readonly number[]): boolean => values.every((value) => value <= NEAR_WHITE);

/**
 * Whether overprinting white leaves the content beneath unchanged, ISO 32000-1, 8.6.7: with mode 1, a component of 0 in
 * DeviceCMYK touches no plate; Separation and DeviceN touch only the plates that they name.
 */
export function isWhiteLost({ space, values, pattern }: Color, overprintMode: number): boolean {
  if (pattern !== undefined || values.length === 0 || values.some((value) => value !== 0)) return false;
  if (space.family === 'DeviceCMYK') return overprintMode === 1;
  return (space.family === 'Separation' || space.family === 'DeviceN') && !isOnEveryPlate(space);
}

const isOnEveryPlate = ({ inks }: ColorSpace): boolean =>
  inks.includes('All') || PROCESS_INKS.every((ink) => inks.includes(ink));

/** `C 60 M 40 Y 40 K 100`, `Signal Red 80` */
export function colorLabel({ space, values }: Pick<Color, 'space' | 'values'>): string {
  const names = space.inks.length > 0 ? space.inks : ['C', 'M', 'Y', 'K'];
  return names
    .map((name, i) => [name, Math.round(100 * (values[i] ?? 0))] as const)
    .filter(([, percent]) => percent > 0)
    .map(([name, percent]) => `${name} ${percent}`)
    .join(' ');
}
