/** What a roll of the shelf is. */
export const STOCK_USES = ['film', 'laminate', 'perforated-film'] as const;
export type StockUse = (typeof STOCK_USES)[number];

/** What people call them. */
export const STOCK_USE_NAMES: Readonly<Record<StockUse, string>> = {
  film: 'film',
  laminate: 'laminate',
  'perforated-film': 'perforated window film',
};
