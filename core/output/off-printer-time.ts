import { LocalDateTime } from '../shop/local-date-time.ts';
import type { ProductionRecord } from './production-record.ts';

/**
 * `2026-11-20 13:00` as `2026-11-20T13:00`; undefined for a text that is not a date and time, which the ticket shows
 * unchanged.
 */
export function offPrinterTime({ offPrinter }: Pick<ProductionRecord, 'offPrinter'>): string | undefined {
  const found = /^(\d{4}-\d\d-\d\d)[T ](\d\d:\d\d)$/.exec(offPrinter?.trim() ?? '');
  const local = found && `${found[1]}T${found[2]}`;
  return local && LocalDateTime.safeParse(local).success ? local : undefined;
}
