import { type ColorSpace, DEVICE_CMYK, DEVICE_GRAY, DEVICE_RGB, PATTERN } from './color-space.ts';
import type { Color, Setter } from './graphics-state.ts';
import { whenKnown } from './resources.ts';
import type { OperatorTable, StreamWalk } from './stream-walk.ts';

/** Color, ISO 32000-1, 8.6.8. Capitals stroke, small letters fill. */
export const COLOR_OPERATORS: OperatorTable = {
  G: (at) => setDevice(at, true, DEVICE_GRAY),
  g: (at) => setDevice(at, false, DEVICE_GRAY),
  RG: (at) => setDevice(at, true, DEVICE_RGB),
  rg: (at) => setDevice(at, false, DEVICE_RGB),
  K: (at) => setDevice(at, true, DEVICE_CMYK),
  k: (at) => setDevice(at, false, DEVICE_CMYK),
  CS: (at) => setSpace(at, true),
  cs: (at) => setSpace(at, false),
  SC: (at) => setColor(at, true),
  SCN: (at) => setColor(at, true),
  sc: (at) => setColor(at, false),
  scn: (at) => setColor(at, false),
};

function assign(at: StreamWalk, isStroke: boolean, color: Color): void {
  if (isStroke) at.state.stroke = color;
  else at.state.fill = color;
}

/** The numbers among the operands. */
function operands({ reader }: StreamWalk): number[] {
  const values: number[] = [];
  for (let i = 0; i < reader.count; i++) if (reader.isNumber(i)) values.push(reader.number(i));
  return values;
}

function setDevice(at: StreamWalk, isStroke: boolean, space: ColorSpace): void {
  // These operators also set the space. Default spaces may redefine it, which does not change any ink's name (8.6.5.6).
  const setter = setterOf(at);
  assign(at, isStroke, { space, values: operands(at), pattern: undefined, setter, spaceSetter: setter });
}

const setterOf = ({ level, start }: StreamWalk): Setter => ({ level, start });

function setSpace(at: StreamWalk, isStroke: boolean): void | Promise<void> {
  const name = at.reader.name(at.reader.count - 1);
  if (name === undefined) return undefined;
  at.use('ColorSpace', name);
  const setter = setterOf(at);
  return whenKnown(at.resources.spaces.get(name), (space) => {
    if (space === undefined) at.miss('ColorSpace', name);
    const known = space ?? DEVICE_GRAY;
    // The initial color is the darkest: all zero, or full ink of Separation and DeviceN.
    const initial = known.family === 'Separation' || known.family === 'DeviceN' ? 1 : 0;
    const values = Array.from({ length: known.components }, (_, i) =>
      known.family === 'DeviceCMYK' && i === 3 ? 1 : initial,
    );
    assign(at, isStroke, { space: known, values, pattern: undefined, setter, spaceSetter: setter });
  });
}

function setColor(at: StreamWalk, isStroke: boolean): void | Promise<void> {
  const { space, spaceSetter } = isStroke ? at.state.stroke : at.state.fill;
  const setter = setterOf(at);
  const values = operands(at);
  const name = at.reader.name(at.reader.count - 1);
  if (name === undefined) {
    assign(at, isStroke, { space, values, pattern: undefined, setter, spaceSetter });
    return undefined;
  }
  at.use('Pattern', name);
  return whenKnown(at.resources.patterns.get(name), (pattern) => {
    if (pattern === undefined) at.miss('Pattern', name);
    const patterned = space.family === 'Pattern' ? space : PATTERN;
    assign(at, isStroke, { space: patterned, values, pattern, setter, spaceSetter });
  });
}
