/** Without it spreadsheets misread UTF-8 (Unicode 17, section 23.8). */
const BYTE_ORDER_MARK = '\uFEFF';

/** Comma-separated values (RFC 4180) for spreadsheets. */
export const csvText = (rows: readonly (readonly (string | number | undefined)[])[]): string =>
  BYTE_ORDER_MARK + rows.map((row) => `${row.map(csvField).join(',')}\r\n`).join('');

/** Figures to a thousandth; text quoted where necessary, and protected from being read as a formula. */
function csvField(value: string | number | undefined): string {
  if (value === undefined) return '';
  if (typeof value === 'number') return String(Math.round(value * 1000) / 1000);
  const text = /^[=+\-@\t\r]/.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
