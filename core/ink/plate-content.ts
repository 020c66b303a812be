/** Content with stand-in names in place of device colors; everything else is unchanged byte for byte. */

import { itemAt } from '../measure/present.ts';
import { inlineEntry } from '../pdf/content/inline-image.ts';
import { OperationReader, operatorCode } from '../pdf/content/operation-reader.ts';
import { bytesJoined } from '../pdf/file/byte-stream.ts';
import { asciiBytes } from '../pdf/page/ascii-bytes.ts';

/** Names for the device-space stand-ins in every resource dictionary. No file uses such names for its spaces. */
export const STAND_IN_NAMES = {
  gray: 'PlatesOfGray',
  rgb: 'PlatesOfRgb',
  cmyk: 'PlatesOfCmyk',
} as const;
export type DeviceKind = keyof typeof STAND_IN_NAMES;

const DEVICE_SPACES: Readonly<Record<string, DeviceKind>> = {
  DeviceGray: 'gray',
  CalGray: 'gray',
  G: 'gray',
  DeviceRGB: 'rgb',
  CalRGB: 'rgb',
  RGB: 'rgb',
  DeviceCMYK: 'cmyk',
  CalCMYK: 'cmyk',
  CMYK: 'cmyk',
};

/** Device black, the initial color of a page: no ink of the three, or full black. */
export const CONTENT_START = asciiBytes(
  `/${STAND_IN_NAMES.gray} cs 0 scn /${STAND_IN_NAMES.gray} CS 0 SCN\n`,
);

const FIRST_COLOR: Readonly<Record<DeviceKind, string>> = { gray: '0', rgb: '0 0 0', cmyk: '0 0 0 1' };

const DEVICE_OPERATORS: readonly (readonly [string, DeviceKind, number])[] = [
  ['g', 'gray', 1],
  ['rg', 'rgb', 3],
  ['k', 'cmyk', 4],
];
const SETTERS = new Map(
  DEVICE_OPERATORS.flatMap(([operator, kind, count]) => [
    [operatorCode(operator), { kind, count, space: 'cs', color: 'scn' }],
    [operatorCode(operator.toUpperCase()), { kind, count, space: 'CS', color: 'SCN' }],
  ]),
);
const CHOOSERS = new Map([
  [operatorCode('cs'), 'scn'],
  [operatorCode('CS'), 'SCN'],
]);
const INLINE_IMAGE = operatorCode('BI');

/** `zerosAtFirst`: see PlateSpaces; for the spaces named in the content's resources. */
export function contentInPlates(content: Uint8Array, zerosAtFirst: (name: string) => number): Uint8Array {
  const reader = new OperationReader();
  reader.push(content, true);
  const parts: Uint8Array[] = [];
  let kept = 0;
  const replace = (start: number, end: number, text: string): void => {
    parts.push(content.subarray(kept, start), asciiBytes(text));
    kept = end;
  };
  while (reader.next() === 'operation') {
    const { operator, start, end, count } = reader;
    const setter = SETTERS.get(operator);
    const chosen = CHOOSERS.get(operator);
    if (setter) {
      const values = Array.from({ length: setter.count }, (_, i) => reader.number(count - setter.count + i));
      const name = STAND_IN_NAMES[setter.kind];
      replace(start, end, `/${name} ${setter.space} ${values.join(' ')} ${setter.color}\n`);
    } else if (chosen) {
      const name = reader.name(count - 1) ?? '';
      const kind = DEVICE_SPACES[name];
      const zeros = kind ? 0 : zerosAtFirst(name);
      if (kind) {
        const space = chosen === 'scn' ? 'cs' : 'CS';
        replace(start, end, `/${STAND_IN_NAMES[kind]} ${space} ${FIRST_COLOR[kind]} ${chosen}\n`);
      } else if (zeros > 0) {
        replace(end, end, ` ${'0 '.repeat(zeros)}${chosen}\n`);
      }
    } else if (operator === INLINE_IMAGE) {
      const at = inlineEntry(reader, 'CS', 'ColorSpace');
      const kind = DEVICE_SPACES[reader.name(at) ?? ''];
      if (kind) replace(itemAt(reader.starts, at), itemAt(reader.ends, at), `/${STAND_IN_NAMES[kind]}`);
    }
  }
  return bytesJoined([...parts, content.subarray(kept)]);
}
