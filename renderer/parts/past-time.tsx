/** When something was done, by the clock of this machine and in the shop’s order of dates. */
import { pastTimeText } from '../../core/shop/local-time.ts';
import { shopProfile } from '../state/shop.ts';

const MINUTE_MS = 60_000;

/** `at`: an instant as the archive keeps it, `2026-11-20T18:05:00.000Z`. */
export function PastTime({ at }: { readonly at: string }) {
  const instant = new Date(at);
  const localMinutes = instant.getTime() / MINUTE_MS - instant.getTimezoneOffset();
  return <time dateTime={at}>{pastTimeText(localMinutes, shopProfile.value.dateOrder)}</time>;
}
