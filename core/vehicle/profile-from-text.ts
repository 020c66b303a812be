import type { LengthUnit } from '../measure/length-from-text.ts';
import { lengthRowsFromText } from '../measure/length-rows.ts';
import { type Result, resultOk } from '../measure/result.ts';
import type { ProfilePoint } from './ground-depth.ts';

/** Reads a measured profile: one row per line with distance and depth, lengths in `unit` where none is given. */
export function profileFromText(text: string, unit: LengthUnit): Result<ProfilePoint[]> {
  const rows = lengthRowsFromText(text, unit, {
    code: 'profile-unreadable',
    whole: 'A profile',
    what: 'a distance and a depth',
  });
  return rows.ok ? resultOk(rows.value.map(([atMm, depthMm]) => ({ atMm, depthMm }))) : rows;
}
