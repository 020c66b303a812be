/** The labels of rolls as PDF. */
import { fontLibraryFromFiles } from '../../core/drawing/font-library.ts';
import { pdfFromDrawings } from '../../core/drawing/pdf-document.ts';
import type { ShopProfile } from '../../core/job/shop-profile.ts';
import { labelSheetOf } from '../../core/sheets/label-sheet.ts';
import { ROLL_LABELS, rollLabels } from '../../core/sheets/roll-labels.ts';
import type { StockRoll } from '../../core/shop/stock-roll.ts';
import { sheetFontFiles } from '../files/fonts.ts';
import { packedQuickly } from '../files/packed-quickly.ts';
import { sha256Hex } from '../files/sha256.ts';

export interface RollLabelsRequest {
  readonly rolls: readonly StockRoll[];
  readonly shop: Pick<ShopProfile, 'output' | 'sheets' | 'displayUnit' | 'dateOrder' | 'name' | 'preparedBy'>;
  /** Day on which they are printed. */
  readonly date: string;
  /** Labels that are gone from the first sheet already. */
  readonly skip: number;
}

export async function rollLabelsPdf({ rolls, shop, date, skip }: RollLabelsRequest): Promise<Uint8Array> {
  const fonts = fontLibraryFromFiles(sheetFontFiles());
  const { displayUnit: unit, dateOrder } = shop;
  const sheets = rollLabels(rolls, { fonts, sheet: labelSheetOf(shop), skip, unit, dateOrder });
  const sha256 = sha256Hex(new TextEncoder().encode(JSON.stringify([rolls, skip])));
  const facts = { title: ROLL_LABELS, author: shop.preparedBy, subject: shop.name, date, sha256 };
  return await pdfFromDrawings(sheets, { ...facts, stamp: undefined }, fonts, packedQuickly);
}
