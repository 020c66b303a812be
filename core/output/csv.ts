/** Comma-separated values (RFC 4180). */
export const csvText = (rows: readonly (readonly (string | number | undefined)[])[]): string =>
  rows.map((row) => `${row.map(csvField).join(',')}\r\n`).join('');

/** Figures to a thousandth; text quoted where it must be, and kept from being read as a formula. */
function csvField(value: string | number | undefined): string {
  if (value === undefined) return '';
  if (typeof value === 'number') return String(Math.round(value * 1000) / 1000);
  const text = /^[=+\-@\t\r]/.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
