import { describe, expect, it } from 'vitest';
import { paintedDifferences } from '../../../core/verify/structure/painted-comparison.ts';
import type { PaintedObject, PaintedStyle } from '../../../core/verify/structure/painted-objects.ts';

const STYLE: PaintedStyle = {
  color: 'fill DeviceCMYK 0 0 0 1',
  overprint: 'false ',
  transparency: 'Normal 1',
  isVisible: true,
};
const WINDOW = { x0: 100, y0: 50, x1: 400, y1: 300 };

function object(
  x0: number,
  over: Partial<PaintedStyle> = {},
  kind: PaintedObject['kind'] = 'path',
  width = 30,
): PaintedObject {
  const bounds = { x0, y0: 110, x1: x0 + width, y1: 150 };
  return { kind, bounds, shown: bounds, style: { ...STYLE, ...over } };
}

const changes = (panel: PaintedObject[], source: PaintedObject[]) =>
  paintedDifferences(panel, source, WINDOW).map(({ change, bounds }) => [change, bounds.x0]);

describe('what a panel paints against what the artwork paints', () => {
  const source = [object(10), object(120), object(200, { overprint: 'true 1' }), object(250), object(600)];

  it('PF10 agrees where objects outside the window are left out', () => {
    expect(changes(source, source)).toEqual([]);
    expect(changes(source.slice(1, 4), source)).toEqual([]);
  });

  it('PF10 agrees where a picture is cropped, not where it is another’s place', () => {
    const picture = object(120, {}, 'image', 200);
    expect(changes([object(150, {}, 'image', 60)], [picture])).toEqual([]);
    expect(changes([object(300, {}, 'image', 60)], [picture])).toEqual([
      ['added', 300],
      ['lost', 120],
    ]);
  });

  it('PF7 names what changed', () => {
    const [, first, second, third] = source;
    expect(changes([first!, object(200), third!], source)).toEqual([['overprint', 200]]);
    expect(changes([first!, second!, object(250, { color: 'fill DeviceRGB 0 0 0' })], source)).toEqual([
      ['color', 250],
    ]);
    expect(changes([object(120, { transparency: 'Multiply 1' }), second!, third!], source)).toEqual([
      ['transparency', 120],
    ]);
    expect(changes([object(120, { isVisible: false }), second!, third!], source)).toEqual([['layer', 120]]);
  });

  it('PF7 names what is lost or added inside the window, and passes over what lies at its edge', () => {
    const [, first, , third] = source;
    expect(changes([first!, third!], source)).toEqual([['lost', 200]]);
    expect(changes([...source, object(333)], source)).toEqual([['added', 333]]);
    expect(changes([...source, object(398)], source)).toEqual([]);
    const hidden = [...source, object(300, { isVisible: false })];
    expect(changes(source, hidden)).toEqual([]);
  });

  it('PF7 minds the order, because later objects lie on earlier ones', () => {
    const [, first, second, third] = source;
    expect(changes([second!, first!, third!], source).length).toBeGreaterThan(0);
  });
});
