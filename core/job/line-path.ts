import { type Path, straightPath } from '../measure/path.ts';
import type { BodyLine } from './schema.ts';

/** The path of a line or a seam. */
export const linePath = ({ atMm, shape }: Pick<BodyLine, 'atMm' | 'shape'>): Path =>
  shape?.map(({ alongMm, offMm }) => ({ along: alongMm, across: atMm + offMm })) ?? straightPath(atMm);
