import { type Drawing, type Fill, type Item, type Stroke, type TextItem, turnDirection } from './drawing.ts';

/** Turns a picture's pixels into something that an SVG can show, such as a data address; main and screens bring their own. */
export type PictureAddress = (item: Extract<Item, { kind: 'picture' }>) => string | undefined;

/**
 * A drawing as SVG text, for the preview on screen. The unit of the view box is the millimetre. Text keeps the
 * width for which it was laid out, whatever font the screen has.
 */
export function svgFromDrawing(drawing: Drawing, pictureAddress: PictureAddress = () => undefined): string {
  const { widthMm, heightMm } = drawing;
  const size = `width="${widthMm}mm" height="${heightMm}mm" viewBox="0 0 ${widthMm} ${heightMm}"`;
  const items = drawing.items.map((item) => itemSvg(item, pictureAddress)).join('\n');
  return `<svg xmlns="http://www.w3.org/2000/svg" ${size} font-family="Noto Sans, DejaVu Sans, sans-serif">\n${items}\n</svg>\n`;
}

function itemSvg(item: Item, pictureAddress: PictureAddress): string {
  switch (item.kind) {
    case 'line':
      return `<path d="M${n(item.from.x)} ${n(item.from.y)}L${n(item.to.x)} ${n(item.to.y)}"${look(item)}/>`;
    case 'polygon':
      return `<path d="M${item.points.map(({ x, y }) => `${n(x)} ${n(y)}`).join('L')}Z"${look(item)}/>`;
    case 'rect':
      return `<path d="${rectPath(item.rect)}"${look(item)}/>`;
    case 'rects':
      return `<path d="${item.rects.map(rectPath).join('')}"${look(item)}/>`;
    case 'circle':
      return `<circle cx="${n(item.centre.x)}" cy="${n(item.centre.y)}" r="${n(item.radiusMm)}"${look(item)}/>`;
    case 'text':
      return textSvg(item);
    case 'picture': {
      const address = pictureAddress(item);
      const { x, y, width, height } = item.rect;
      if (!address) return '';
      return `<image x="${n(x)}" y="${n(y)}" width="${n(width)}" height="${n(height)}" preserveAspectRatio="none" href="${escaped(address)}"/>`;
    }
  }
}

function textSvg(item: TextItem): string {
  const { x, y } = turnDirection(item.turn);
  const turn =
    item.turn === 0
      ? ''
      : ` transform="rotate(${Math.round((Math.atan2(y, x) * 180) / Math.PI)} ${n(item.at.x)} ${n(item.at.y)})"`;
  const weight = item.role === 'bold' ? ' font-weight="700"' : '';
  const fit = item.widthMm > 0 ? ` textLength="${n(item.widthMm)}" lengthAdjust="spacingAndGlyphs"` : '';
  return `<text x="${n(item.at.x)}" y="${n(item.at.y)}" font-size="${n(item.sizeMm)}" text-anchor="${item.anchor}" fill="${gray(item.black)}"${weight}${fit}${turn}>${escaped(item.text)}</text>`;
}

function look(item: { readonly fill?: Fill; readonly stroke?: Stroke }): string {
  const fill = item.fill ? gray(item.fill.black) : 'none';
  if (!item.stroke) return ` fill="${fill}"`;
  const { widthMm, black, dashMm } = item.stroke;
  const dash = dashMm ? ` stroke-dasharray="${dashMm.join(' ')}"` : '';
  return ` fill="${fill}" stroke="${gray(black)}" stroke-width="${widthMm}"${dash}`;
}

const rectPath = ({ x, y, width, height }: { x: number; y: number; width: number; height: number }): string =>
  `M${n(x)} ${n(y)}h${n(width)}v${n(height)}h${n(-width)}Z`;

function gray(black: number): string {
  const part = Math.round(255 * (1 - black))
    .toString(16)
    .padStart(2, '0');
  return `#${part}${part}${part}`;
}

const n = (value: number): string => String(Math.round(value * 1000) / 1000);

const escaped = (text: string): string =>
  text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('"', '&quot;');
