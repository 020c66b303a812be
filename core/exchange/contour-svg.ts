/**
 * Contours as SVG 1.1 in true millimeters, y down: one group per kind, paths only, without styles, transforms or text.
 */
import { decimalText } from '../measure/length-text.ts';
import { CONTOUR_KINDS, type ContourPath, type Contours } from './contours.ts';
import { xmlElement, xmlText } from './xml.ts';

export function contourSvg({ widthMm, heightMm, paths }: Contours): string {
  const groups = CONTOUR_KINDS.map((kind) => {
    const own = paths.filter((path) => path.kind === kind);
    return own.length === 0
      ? undefined
      : xmlElement(
          'g',
          { id: kind },
          own.map((path) => xmlElement('path', { d: pathData(path) })),
        );
  });
  const root = xmlElement(
    'svg',
    {
      xmlns: 'http://www.w3.org/2000/svg',
      version: '1.1',
      width: `${number(widthMm)}mm`,
      height: `${number(heightMm)}mm`,
      viewBox: `0 0 ${number(widthMm)} ${number(heightMm)}`,
      fill: 'none',
      stroke: '#e6007e',
      'stroke-width': '0.25',
    },
    groups,
  );
  return xmlText(root);
}

const number = (mm: number): string => decimalText(mm, 4);

const pathData = ({ points, isClosed }: ContourPath): string =>
  `${points.map(({ x, y }, index) => `${index === 0 ? 'M' : 'L'}${number(x)} ${number(y)}`).join(' ')}${isClosed ? ' Z' : ''}`;
