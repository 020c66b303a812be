/** Faults that a panel could have, each put into a right one by hand: what the verification must find, all of them. */
import { deflateSync, inflateSync } from 'node:zlib';
import {
  decodePDFRawStream,
  PDFArray,
  PDFBool,
  PDFDict,
  PDFName,
  PDFNumber,
  type PDFObject,
  PDFRawStream,
} from 'pdf-lib';
import type { ManifestPanel } from '../../../core/output/manifest.ts';
import type { PanelParts } from './damaged-output.ts';

export type Chance = () => number;

export interface Planting {
  readonly panel: ManifestPanel;
  readonly neighbor: ManifestPanel;
  readonly chance: Chance;
}

/** Undefined where the panel has nothing of the kind. */
type Fault = (parts: PanelParts, planting: Planting) => string | undefined;

const name = (text: string) => PDFName.of(text);
function streamIn(dict: PDFDict | undefined, key: string): PDFRawStream | undefined {
  const object = dict?.lookup(name(key));
  return object instanceof PDFRawStream ? object : undefined;
}

const between = (chance: Chance, low: number, high: number): number => low + (high - low) * chance();
const either = (chance: Chance): 1 | -1 => (chance() < 0.5 ? 1 : -1);
const one = <T>(chance: Chance, items: readonly T[]): T => items[Math.floor(chance() * items.length)]!;

/** A hundredth of an inch is ten dots of a fine printer; this is one. */
const DOT_MM = 25.4 / 1440;
const MM_PER_PT = 25.4 / 72;

const shiftedByADot: Fault = (parts, { chance }) => {
  const far = (either(chance) * between(chance, 1, 8) * DOT_MM) / MM_PER_PT;
  const isAcross = chance() < 0.5;
  parts.moveArt(([a, b, c, d, e, f]) => [
    a!,
    b!,
    c!,
    d!,
    e! + (isAcross ? far : 0),
    f! + (isAcross ? 0 : far),
  ]);
  return `the art shifted by ${far} pt`;
};

const scaled: Fault = (parts, { chance }) => {
  const by = 1 + either(chance) * between(chance, 0.0005, 0.002);
  parts.moveArt(([a, b, c, d, e, f]) => [a! * by, b!, c!, d! * by, e!, f!]);
  return `the art scaled by ${by}`;
};

const neighborsWindow: Fault = (parts, { panel, neighbor }) => {
  const far = (neighbor.source.windowDrawnMm.xMm - panel.source.windowDrawnMm.xMm) / MM_PER_PT;
  const box = parts.art.dict.lookup(name('BBox'), PDFArray);
  const numbers = box.asArray().map((item) => (item as PDFNumber).asNumber());
  const moved = numbers.map((value, index) => (index % 2 === 0 ? value + far : value));
  parts.art.dict.set(name('BBox'), parts.document.context.obj(moved));
  parts.moveArt(([a, b, c, d, e, f]) => [a!, b!, c!, d!, e! - far * a!, f!]);
  return "the neighbor's window";
};

const narrowed: Fault = (parts, { chance }) => {
  const box = parts.art.dict.lookup(name('BBox'), PDFArray);
  const at = Math.floor(chance() * 4);
  const value = (box.lookup(at) as PDFNumber).asNumber();
  box.set(at, PDFNumber.of(value + (at < 2 ? 1 : -1) * between(chance, 0.05, 4)));
  return 'the art ends within the printed area';
};

const wrongBox: Fault = (parts, { chance }) => {
  const key = one(chance, ['TrimBox', 'BleedBox', 'MediaBox']);
  const box = parts.page.lookup(name(key), PDFArray);
  const at = Math.floor(chance() * 4);
  box.set(
    at,
    PDFNumber.of((box.lookup(at) as PDFNumber).asNumber() + either(chance) * between(chance, 0.1, 20)),
  );
  return `another ${key}`;
};

/** Replaces one of the places where the content matches. */
function contentEdited(
  parts: PanelParts,
  chance: Chance,
  pattern: RegExp,
  replaced: (match: string) => string,
  said: string,
): string | undefined {
  let isDone = false;
  try {
    parts.editContent((content) => {
      const matches = [...content.matchAll(pattern)];
      if (matches.length === 0) return content;
      const { 0: text, index } = one(chance, matches);
      isDone = true;
      return `${content.slice(0, index)}${replaced(text)}${content.slice(index + text.length)}`;
    });
  } catch {
    return undefined;
  }
  return isDone ? said : undefined;
}

const edit =
  (pattern: RegExp, replaced: (match: string, chance: Chance) => string, said: string): Fault =>
  (parts, { chance }) =>
    contentEdited(parts, chance, pattern, (match) => replaced(match, chance), said);

const NUMBER = /-?\d+(?:\.\d+)?/g;
const oneNumberChanged = (text: string, chance: Chance, by: number): string => {
  const at = one(chance, [...text.matchAll(NUMBER)]);
  const value = Number(at[0]) + either(chance) * by;
  return `${text.slice(0, at.index)}${value}${text.slice(at.index + at[0].length)}`;
};

const CONTENT_FAULTS: readonly Fault[] = [
  edit(/\bre\s+f\b/g, () => 're n', 'a rectangle is not painted'),
  edit(
    /[\d.]+ [\d.]+ [\d.]+ [\d.]+ re/g,
    (text, chance) => oneNumberChanged(text, chance, 0.05),
    'a rectangle of another size',
  ),
  edit(
    /[\d.]+ [\d.]+ [ml]\b/g,
    (text, chance) => oneNumberChanged(text, chance, 0.05),
    'a corner in another place',
  ),
  edit(
    /[\d.]+ [\d.]+ [\d.]+ [\d.]+ k\b/g,
    (text, chance) => oneNumberChanged(text, chance, 0.004),
    'a color a level off',
  ),
  edit(/[\d.]+ [\d.]+ [\d.]+ [\d.]+ k\b/g, () => '0.5 0.5 0.5 rg', 'an object in RGB'),
  edit(/\/Spot cs [\d.]+ scn/g, () => '0 0.68 0.56 0 k', 'a spot color turned process'),
  edit(/\/Over gs/g, () => ' ', 'overprint is not asked for'),
  edit(/\/Perceptual ri/g, (_, chance) => one(chance, [' ', '/Saturation ri']), 'another rendering intent'),
  edit(/\/(Blend|Faded) gs/g, () => ' ', 'blending is not asked for'),
  edit(/W n/g, () => 'n', 'a clip is lost'),
  edit(/\[9 4\] 0 d/g, (_, chance) => one(chance, ['[9 5] 0 d', ' ', '[9 4] 1 d']), 'other dashes'),
  edit(/3 w/g, () => '3.1 w', 'another line width'),
  edit(/1 J/g, () => '0 J', 'other line ends'),
  edit(/\/Letters 40 Tf/g, () => '/Letters 40.2 Tf', 'another size of lettering'),
  edit(
    /\(Alder[^)]*\) Tj/g,
    (_, chance) => one(chance, ['(Alder County Librery) Tj', '( ) Tj']),
    'another text',
  ),
  edit(/250 230 Tm/g, () => '250.1 230 Tm', 'lettering in another place'),
  edit(/\/OC \/Shown BDC.*?EMC/gs, () => ' ', 'a layer is lost'),
  edit(
    /\/OC \/(Hidden|Shown) BDC/g,
    (text) => (text.includes('Hidden') ? '/OC /Shown BDC' : '/OC /Hidden BDC'),
    'an object in another layer',
  ),
  edit(/\/(Photo|Jpeg|Stencil|Palette|Badge) Do/g, () => ' ', 'a picture is lost'),
  edit(/\/(Tiles|Ramp) scn/g, () => '/Ramp scn /Tiles scn 0 0 0 0 k', 'a pattern is lost'),
  edit(
    /[\d.]+ 0 0 [\d.]+ [\d.]+ [\d.]+ cm/g,
    (text, chance) => oneNumberChanged(text.replace(/ 0 0 /, ' 0.0 0.0 '), chance, 0.5),
    'a picture in another place',
  ),
  edit(/\(Alder[^)]*\) Tj ET/g, (text) => `${text} 0 0 0 1 k 500 200 30 30 re f`, 'an object too many'),
];

const settingsOf = (parts: PanelParts, key: string): PDFDict | undefined => {
  const states = parts.resources('ExtGState');
  return states?.lookupMaybe(name(key), PDFDict);
};

function settingChanged(key: string, entry: string, value: PDFObject | undefined, said: string): Fault {
  return (parts) => {
    const state = settingsOf(parts, key);
    if (!state?.has(name(entry))) return undefined;
    if (value) state.set(name(entry), value);
    else state.delete(name(entry));
    return said;
  };
}

const SETTING_FAULTS: readonly Fault[] = [
  settingChanged('Over', 'OP', PDFBool.False, 'overprint of lines switched off'),
  settingChanged('Over', 'op', PDFBool.False, 'overprint of areas switched off'),
  settingChanged('Over', 'OPM', PDFNumber.of(0), 'the other overprint mode'),
  settingChanged('Over', 'RI', name('Perceptual'), 'a rendering intent changed'),
  settingChanged('Over', 'RI', undefined, 'a rendering intent lost'),
  settingChanged('Blend', 'BM', name('Normal'), 'another blend mode'),
  settingChanged('Blend', 'ca', PDFNumber.of(0.61), 'another opacity'),
  settingChanged('Faded', 'SMask', undefined, 'a soft mask lost'),
  settingChanged('Faded', 'SMask', name('None'), 'a soft mask switched off'),
];

const patternMoved: Fault = (parts, { chance }) => {
  const tiles = streamIn(parts.resources('Pattern'), 'Tiles');
  if (!tiles) return undefined;
  const key = one(chance, ['Matrix', 'XStep', 'YStep', 'BBox']);
  const value = tiles.dict.lookup(name(key));
  const by = either(chance) * between(chance, 0.01, 13);
  if (value instanceof PDFNumber) tiles.dict.set(name(key), PDFNumber.of(value.asNumber() + by));
  else {
    const at = key === 'Matrix' ? 4 + Math.floor(chance() * 2) : 2;
    (value as PDFArray).set(at, PDFNumber.of(((value as PDFArray).lookup(at) as PDFNumber).asNumber() + by));
  }
  return `a tiled pattern with another ${key}`;
};

const spotChanged: Fault = (parts, { chance }) => {
  const space = parts.resources('ColorSpace')?.lookupMaybe(name('Spot'), PDFArray);
  if (!space) return undefined;
  if (chance() < 0.5) space.set(1, name('Signal2'));
  else space.lookup(3, PDFDict).set(name('C1'), parts.document.context.obj([0, 0.846, 0.7, 0]));
  return 'another spot color';
};

const functionChanged: Fault = (parts) => {
  const ramp = parts.resources('Pattern')?.lookupMaybe(name('Ramp'), PDFDict);
  if (!ramp) return undefined;
  ramp.lookup(name('Shading'), PDFDict).lookup(name('Function'), PDFDict).set(name('N'), PDFNumber.of(1.31));
  return 'another ramp';
};

const contentOfFormChanged: Fault = (parts, { chance }) => {
  const form = streamIn(parts.resources('XObject'), 'Badge');
  if (!form) return undefined;
  if (chance() < 0.4) {
    form.dict.delete(name('Group'));
    return 'the group of a form lost';
  }
  const text = Buffer.from(decodePDFRawStream(form).decode()).toString('latin1');
  if (!text.includes(' re f')) return undefined;
  replaceContents(parts, 'Badge', Buffer.from(text.replace(/ (\d+) (\d+) re f/, ' $1 $2.25 re f')));
  return 'another form';
};

function replaceContents(parts: PanelParts, key: string, bytes: Uint8Array): void {
  const forms = parts.resources('XObject')!;
  const before = streamIn(forms, key)!;
  const dict = before.dict.clone();
  dict.set(name('Filter'), name('FlateDecode'));
  dict.delete(name('DecodeParms'));
  forms.set(name(key), parts.document.context.register(PDFRawStream.of(dict, deflateSync(bytes))));
}

/** Unpacks a picture of the panel, changes its samples and packs it again without a predictor. */
const samplesChanged: Fault = (parts, { chance }) => {
  const key = one(chance, ['Photo', 'Stencil', 'Palette', 'Photo mask']);
  const images = parts.resources('XObject');
  const image = streamIn(images, key.split(' ')[0]!);
  const stream = key.endsWith('mask') ? streamIn(image?.dict, 'SMask') : image;
  if (!stream || stream.dict.get(name('Filter')) !== name('FlateDecode')) return undefined;
  const isPredicted = stream.dict.lookupMaybe(name('DecodeParms'), PDFDict)?.has(name('Predictor'));
  const data = isPredicted ? decodePDFRawStream(stream).decode() : inflateSync(stream.contents);
  const number = (entry: string) => (stream.dict.lookup(name(entry)) as PDFNumber).asNumber();
  const rowBytes = data.length / number('Height');
  const kind = one(chance, [
    'all a level up',
    'one a level up',
    'a column aside',
    'a row down',
    'two rows swapped',
  ]);
  const changed = samplesWith(kind, new Uint8Array(data), rowBytes, chance);
  if (Buffer.from(changed).equals(Buffer.from(data))) return undefined;
  const dict = stream.dict.clone();
  dict.delete(name('DecodeParms'));
  const ref = parts.document.context.register(PDFRawStream.of(dict, deflateSync(changed)));
  if (key.endsWith('mask')) image!.dict.set(name('SMask'), ref);
  else images!.set(name(key), ref);
  return `samples of ${key}: ${kind}`;
};

function samplesWith(kind: string, data: Uint8Array, rowBytes: number, chance: Chance): Uint8Array {
  const at = Math.floor(chance() * (data.length - 2 * rowBytes));
  switch (kind) {
    case 'all a level up':
      return data.map((value) => Math.min(255, value + 1));
    case 'one a level up':
      data[at] = data[at]! ^ 1;
      return data;
    case 'a column aside':
      return Uint8Array.from(data, (value, i) => (i % rowBytes === 0 ? value : data[i - 1]!));
    case 'a row down':
      return Uint8Array.from(data, (value, i) => (i < rowBytes ? value : data[i - rowBytes]!));
    default: {
      const row = Math.floor(at / rowBytes) * rowBytes;
      const first = data.slice(row, row + rowBytes);
      data.copyWithin(row, row + rowBytes, row + 2 * rowBytes);
      data.set(first, row + rowBytes);
      return data;
    }
  }
}

const pictureEntry: Fault = (parts, { chance }) => {
  const key = one(chance, ['Photo', 'Palette', 'Stencil', 'Jpeg']);
  const image = streamIn(parts.resources('XObject'), key);
  if (!image) return undefined;
  const { context } = parts.document;
  if (key === 'Photo') {
    const entry = one(chance, ['SMask', 'Intent']);
    image.dict.delete(name(entry));
    return `a picture without its ${entry}`;
  }
  if (key === 'Stencil') image.dict.set(name('Decode'), context.obj([1, 0]));
  else if (key === 'Palette') {
    const space = image.dict.lookup(name('ColorSpace'), PDFArray);
    space.set(1, name('DeviceCMYK'));
  } else image.dict.set(name('Decode'), context.obj([1, 0, 1, 0, 1, 0]));
  return `another ${key}`;
};

const layerState: Fault = (parts, { chance }) => {
  const { catalog, context } = parts.document;
  if (chance() < 0.4) {
    catalog.delete(name('OCProperties'));
    return 'layers lost';
  }
  const state = catalog.lookup(name('OCProperties'), PDFDict).lookup(name('D'), PDFDict);
  const groups = catalog.lookup(name('OCProperties'), PDFDict).lookup(name('OCGs'), PDFArray);
  state.set(name('OFF'), context.obj(chance() < 0.5 ? [] : [groups.get(1)!]));
  return 'another layer is off';
};

const pageSetting: Fault = (parts, { chance }) => {
  const { catalog } = parts.document;
  switch (Math.floor(chance() * 5)) {
    case 0:
      parts.page.delete(name('Group'));
      return 'the group of the page lost';
    case 1:
      parts.page.lookup(name('Group'), PDFDict).set(name('CS'), name('DeviceRGB'));
      return 'another blending space';
    case 2:
      catalog.delete(name('OutputIntents'));
      return 'the output intent lost';
    case 3:
      parts.art.dict.set(name('Group'), parts.document.context.obj({ S: 'Transparency' }));
      return 'the art in a group of its own';
    default:
      parts.paintBefore('0.5 0 0 0.5 0 0 cm');
      return 'the art at half its size';
  }
};

/** Over the art, at least 12 mm of the finished side. */
const paintedOver: Fault = (parts, { panel, chance }) => {
  const { printedBox, filmBox } = panel;
  const x = (printedBox.xMm - filmBox.xMm + between(chance, 0.2, 0.7) * printedBox.widthMm) / MM_PER_PT;
  const y = (between(chance, 0.3, 0.7) * printedBox.heightMm) / MM_PER_PT;
  const side = between(chance, 35, 90);
  parts.paintOver(`q 0.1 0.9 0.1 rg ${x} ${y} ${side} ${side} re f Q`);
  return 'painted over';
};

export const PLANTED: readonly Fault[] = [
  shiftedByADot,
  shiftedByADot,
  scaled,
  neighborsWindow,
  narrowed,
  wrongBox,
  ...CONTENT_FAULTS,
  ...SETTING_FAULTS,
  patternMoved,
  patternMoved,
  spotChanged,
  functionChanged,
  contentOfFormChanged,
  samplesChanged,
  samplesChanged,
  samplesChanged,
  pictureEntry,
  pictureEntry,
  layerState,
  pageSetting,
  paintedOver,
];
