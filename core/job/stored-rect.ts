import type { Rect, Space } from '../measure/rect.ts';
import type { StoredRect } from './schema.ts';

export const rectFromStored = <S extends Space>(r: StoredRect): Rect<S> => ({
  x: r.xMm,
  y: r.yMm,
  width: r.widthMm,
  height: r.heightMm,
});

export const storedFromRect = (r: Rect): StoredRect => ({
  xMm: r.x,
  yMm: r.y,
  widthMm: r.width,
  heightMm: r.height,
});
