import { pastTimeText } from '../../core/shop/local-time.ts';

const MINUTE_MS = 60_000;

/** When something was done, by the clock of this machine: `2026-11-20, 13:05`. */
export function pastTime(instant: string): string {
  const at = new Date(instant);
  return pastTimeText(at.getTime() / MINUTE_MS - at.getTimezoneOffset());
}
