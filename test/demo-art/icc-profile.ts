/**
 * A small ICC profile, version 2.1, class monitor: three colorants, one gamma, no tables.
 * Layout after ICC.1:2001-04: header of 128 bytes, tag table, tagged data in multiples of 4 bytes.
 */
const HEADER_BYTES = 128;

/** The primaries of IEC 61966-2-1 adapted to D50, as X, Y, Z. */
const RED = [0.4360747, 0.2225045, 0.0139322] as const;
const GREEN = [0.3850649, 0.7168786, 0.0971045] as const;
const BLUE = [0.1430804, 0.0606169, 0.7141733] as const;
/** The illuminant of the profile connection space, D50. */
const D50 = [0.9642, 1, 0.8249] as const;
const GAMMA = 2.2;

export function iccProfileRgb(description: string): Uint8Array {
  const gamma = curveTag(GAMMA);
  const tags: readonly (readonly [signature: string, data: Uint8Array])[] = [
    ['desc', descriptionTag(description)],
    ['cprt', textTag('Made by code for the demo. No rights reserved.')],
    ['wtpt', xyzTag(D50)],
    ['rXYZ', xyzTag(RED)],
    ['gXYZ', xyzTag(GREEN)],
    ['bXYZ', xyzTag(BLUE)],
    ['rTRC', gamma],
    ['gTRC', gamma],
    ['bTRC', gamma],
  ];
  const tableBytes = 4 + 12 * tags.length;
  const size = tags.reduce((sum, [, data]) => sum + data.length, HEADER_BYTES + tableBytes);
  const profile = new Uint8Array(size);
  writeHeader(profile, size);
  const view = new DataView(profile.buffer);
  view.setUint32(HEADER_BYTES, tags.length);
  let entry = HEADER_BYTES + 4;
  let offset = HEADER_BYTES + tableBytes;
  for (const [signature, data] of tags) {
    writeAscii(profile, entry, signature);
    view.setUint32(entry + 4, offset);
    view.setUint32(entry + 8, data.length);
    profile.set(data, offset);
    entry += 12;
    offset += data.length;
  }
  return profile;
}

function writeHeader(profile: Uint8Array, size: number): void {
  const view = new DataView(profile.buffer);
  view.setUint32(0, size);
  view.setUint32(8, 0x02100000);
  writeAscii(profile, 12, 'mntrRGB XYZ ');
  // The date of creation is part of the header; a fixed one keeps the bytes the same.
  for (const [i, value] of [2026, 1, 1, 0, 0, 0].entries()) view.setUint16(24 + 2 * i, value);
  writeAscii(profile, 36, 'acsp');
  for (const [i, value] of D50.entries()) view.setInt32(68 + 4 * i, fixed(value));
}

const fixed = (value: number): number => Math.round(value * 65536);

function writeAscii(target: Uint8Array, offset: number, text: string): void {
  for (let i = 0; i < text.length; i += 1) target[offset + i] = text.charCodeAt(i);
}

/** Bytes of one tag, its type signature written, rounded up to a multiple of 4. */
function tagBytes(type: string, payload: number): Uint8Array {
  const bytes = new Uint8Array(Math.ceil((8 + payload) / 4) * 4);
  writeAscii(bytes, 0, type);
  return bytes;
}

function xyzTag(xyz: readonly number[]): Uint8Array {
  const bytes = tagBytes('XYZ ', 12);
  const view = new DataView(bytes.buffer);
  for (const [i, value] of xyz.entries()) view.setInt32(8 + 4 * i, fixed(value));
  return bytes;
}

function curveTag(gamma: number): Uint8Array {
  const bytes = tagBytes('curv', 6);
  const view = new DataView(bytes.buffer);
  view.setUint32(8, 1);
  view.setUint16(12, Math.round(gamma * 256));
  return bytes;
}

function textTag(text: string): Uint8Array {
  const bytes = tagBytes('text', text.length + 1);
  writeAscii(bytes, 8, text);
  return bytes;
}

/** The ASCII part of a description, followed by its empty Unicode and script parts (67 + 11 bytes). */
function descriptionTag(text: string): Uint8Array {
  const bytes = tagBytes('desc', 4 + text.length + 1 + 4 + 4 + 2 + 1 + 67);
  new DataView(bytes.buffer).setUint32(8, text.length + 1);
  writeAscii(bytes, 12, text);
  return bytes;
}
