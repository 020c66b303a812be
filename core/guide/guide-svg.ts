/** A panel guide as SVG, in millimeters as drawn: a group for each layer. */
import { decimalText } from '../measure/length-text.ts';
import type { Mm } from '../measure/units.ts';
import type { GuideStroke, PanelGuide } from './panel-guide.ts';

/** The ink of the guide as a screen shows it. */
const COLOR = '#e6007e';

export function guideSvg({ title, page, layers }: PanelGuide): string {
  const { widthMm, heightMm, trim } = page;
  const groups = layers.map(
    ({ name, strokes }) =>
      `<g id="${textEscaped(name.replaceAll(/[^A-Za-z]+/g, '-').toLowerCase())}"><title>${textEscaped(name)}</title>\n${strokes.map(strokeElement).join('\n')}\n</g>`,
  );
  const place = `The side lies at ${[trim.x, trim.y, trim.width, trim.height].map(lengthNumber).join(' ')} mm: left, top, width, height.`;
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${lengthNumber(widthMm)}mm" height="${lengthNumber(heightMm)}mm" viewBox="0 0 ${lengthNumber(widthMm)} ${lengthNumber(heightMm)}" fill="none" stroke="${COLOR}" stroke-linejoin="round">`,
    `<title>${textEscaped(title)}</title>`,
    `<desc>${place}</desc>`,
    ...groups,
    '</svg>',
    '',
  ].join('\n');
}

const lengthNumber = (mm: Mm): string => decimalText(mm, 3);
/** A hundredth of a millimeter as drawn is finer than the lines; a side is thousands of places. */
const placeNumber = (mm: Mm): string => decimalText(mm, 2);

function strokeElement({ steps, widthMm, dashMm }: GuideStroke): string {
  const d = steps.map(([kind, ...places]) => `${kind}${places.map(placeNumber).join(' ')}`).join('');
  const dash = dashMm ? ` stroke-dasharray="${dashMm.map(lengthNumber).join(' ')}"` : '';
  return `<path stroke-width="${lengthNumber(widthMm)}"${dash} d="${d}"/>`;
}

const textEscaped = (text: string): string =>
  text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;').replaceAll('"', '&quot;');
