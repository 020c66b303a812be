import { type Path, straightPath } from '../measure/path.ts';
import type { BodyLine } from './schema.ts';

/** Where a line or a seam runs. */
export const linePath = ({ atMm, shape }: Pick<BodyLine, 'atMm' | 'shape'>): Path =>
  shape?.map(({ alongMm, offMm }) => ({ along: alongMm, across: atMm + offMm })) ?? straightPath(atMm);
