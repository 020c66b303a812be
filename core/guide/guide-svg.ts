/**
 * A panel guide as SVG, in millimeters as drawn: a group for each layer. A repeated shape, such as a letter, is defined
 * once and reused at its places.
 */
import type { PathStep } from '../drawing/text-outlines.ts';
import { decimalText } from '../measure/length-text.ts';
import { firstOf } from '../measure/present.ts';
import type { Mm } from '../measure/units.ts';
import type { GuideStroke, PanelGuide } from './panel-guide.ts';

/** Screen color of the guide's ink. */
const COLOR = '#e6007e';

export function guideSvg({ title, page, layers }: PanelGuide): string {
  const { widthMm, heightMm, trim } = page;
  const shapes = new RepeatedShapes(layers.flatMap(({ strokes }) => strokes));
  const groups = layers.map(
    ({ name, strokes }) =>
      `<g id="${textEscaped(name.replaceAll(/[^A-Za-z]+/g, '-').toLowerCase())}"><title>${textEscaped(name)}</title>\n${strokes.flatMap((stroke) => strokeElements(stroke, shapes)).join('\n')}\n</g>`,
  );
  const place = `The side lies at ${[trim.x, trim.y, trim.width, trim.height].map(lengthNumber).join(' ')} mm: left, top, width, height.`;
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="${lengthNumber(widthMm)}mm" height="${lengthNumber(heightMm)}mm" viewBox="0 0 ${lengthNumber(widthMm)} ${lengthNumber(heightMm)}" fill="none" stroke="${COLOR}" stroke-linejoin="round">`,
    `<title>${textEscaped(title)}</title>`,
    `<desc>${place}</desc>`,
    ...shapes.elements,
    ...groups,
    '</svg>',
    '',
  ].join('\n');
}

const lengthNumber = (mm: Mm): string => decimalText(mm, 3);
/**
 * A hundredth of a millimeter as drawn is finer than the lines. The limit matters, because a side has thousands of
 * places.
 */
const placeNumber = (mm: Mm): string => decimalText(mm, 2);

/** A line from pen down to pen up. */
interface Line {
  readonly at: readonly [Mm, Mm];
  readonly steps: readonly PathStep[];
  /** The line moved to the origin, so that equal letters have equal shapes. */
  readonly shape: string;
}

function linesOf(steps: readonly PathStep[]): Line[] {
  const lines: PathStep[][] = [];
  for (const step of steps) {
    if (step[0] === 'M') lines.push([step]);
    else lines.at(-1)?.push(step);
  }
  return lines.map((line) => {
    const [, x = 0, y = 0] = firstOf(line);
    return { at: [x, y], steps: line, shape: pathData(line, [x, y]) };
  });
}

const pathData = (steps: readonly PathStep[], [x, y]: readonly [Mm, Mm] = [0, 0]): string =>
  steps
    .map(([kind, ...places]) => {
      const moved = places.map((place, index) => placeNumber(place - (index % 2 === 0 ? x : y)));
      return `${kind}${moved.join(' ')}`;
    })
    .join('');

/** Shortest shape worth reusing, in characters: a reference to a shorter line saves nothing. */
const LEAST_SHAPE = 60;

class RepeatedShapes {
  readonly #ids = new Map<string, string>();

  constructor(strokes: readonly GuideStroke[]) {
    const counts = new Map<string, number>();
    for (const { steps } of strokes)
      for (const { shape } of linesOf(steps)) counts.set(shape, (counts.get(shape) ?? 0) + 1);
    for (const [shape, count] of counts)
      if (count > 1 && shape.length >= LEAST_SHAPE) this.#ids.set(shape, `s${this.#ids.size + 1}`);
  }

  get elements(): string[] {
    const paths = [...this.#ids].map(([shape, id]) => `<path id="${id}" d="${shape}"/>`);
    return paths.length > 0 ? ['<defs>', ...paths, '</defs>'] : [];
  }

  id(shape: string): string | undefined {
    return this.#ids.get(shape);
  }
}

function strokeElements({ steps, widthMm, dashMm }: GuideStroke, shapes: RepeatedShapes): string[] {
  const dash = dashMm ? ` stroke-dasharray="${dashMm.map(lengthNumber).join(' ')}"` : '';
  const look = `stroke-width="${lengthNumber(widthMm)}"${dash}`;
  const lines = linesOf(steps).map((line) => ({ ...line, id: shapes.id(line.shape) }));
  const own = lines.filter(({ id }) => id === undefined).flatMap((line) => line.steps);
  const used = lines.flatMap(({ id, at: [x, y] }) =>
    id === undefined ? [] : [`<use xlink:href="#${id}" x="${lengthNumber(x)}" y="${lengthNumber(y)}"/>`],
  );
  return [
    ...(own.length > 0 ? [`<path ${look} d="${pathData(own)}"/>`] : []),
    ...(used.length > 0 ? [`<g ${look}>`, ...used, '</g>'] : []),
  ];
}

const textEscaped = (text: string): string =>
  text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;').replaceAll('"', '&quot;');
