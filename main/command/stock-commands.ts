/** Rolls on the shelf: what is there, what came in, what was used, and what was entered wrongly. */
import { shopDefaults } from '../../core/job/shop-defaults.ts';
import { lengthFromText } from '../../core/measure/length-from-text.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import { longLengthFormat, rollLengthText } from '../../core/measure/long-length.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import type { StockRoll } from '../../core/shop/stock-roll.ts';
import { isPastUseBy, materialKey, stockCode } from '../../core/shop/stock-text.ts';
import { STOCK_USE_NAMES, type StockUse } from '../../core/shop/stock-use.ts';
import { pastTime } from '../files/clock-text.ts';
import { correctRoll, scrapFilm, undoMovement } from '../services/move-film.ts';
import { changeRoll, receiveRoll } from '../services/receive-roll.ts';
import { saveRollLabels } from '../services/save-roll-labels.ts';
import type { ActParts } from '../services/service-parts.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import { type EntryOptions, ROLL_RANGE, type Unit, unitOfShop } from './stock-options.ts';
import { printable, tableLines } from './terminal.ts';

type Outcome = Promise<Result<CommandOutcome>>;

interface StockOptions {
  readonly use?: StockUse;
  readonly material?: string;
  readonly lot?: string;
  readonly width?: string;
  readonly all: boolean;
}

const SAME_WIDTH_MM = 0.5;

export const stockCommand =
  ({ use, material, lot, width, all }: StockOptions) =>
  async ({ terminal, locale, now, withArchive }: CommandContext): Outcome =>
    await withArchive(async ({ archive }) => {
      const unit = await unitOfShop(archive, locale, false);
      const wanted = width === undefined ? undefined : lengthFromText(width, unit);
      if (wanted && !wanted.ok) return wanted;
      const words = materialKey(material ?? '').split(' ');
      const rolls = (await archive.stock.rolls()).filter(
        (roll) =>
          (all || roll.leftMm !== 0) &&
          (use === undefined || roll.use === use) &&
          words.every((word) => materialKey(roll.material).includes(word)) &&
          (lot === undefined || roll.lotNumber === lot.trim()) &&
          (wanted === undefined || Math.abs(roll.widthMm - wanted.value) <= SAME_WIDTH_MM),
      );
      const rows = rolls.map((roll) => rollRow(roll, unit, now().slice(0, 10)));
      terminal.printResult(rolls, rows.length > 0 ? tableLines(rows) : ['The shelf has no such roll.']);
      return resultOk('done');
    });

const rollRow = (roll: StockRoll, unit: Unit, today: string): string[] => [
  stockCode(roll.number),
  STOCK_USE_NAMES[roll.use],
  roll.material,
  `lot ${roll.lotNumber || 'not known'}`,
  `roll ${roll.rollNumber}`,
  `${lengthText(roll.widthMm, unit)} wide`,
  `${rollLengthText(roll.leftMm, unit)} left`,
  roll.isPartial ? 'partial' : 'as received',
  roll.place,
  isPastUseBy(roll, today) ? `PAST USE BY ${roll.useBy}` : '',
];

export const ledgerCommand =
  (code: string) =>
  async ({ terminal, locale, now, withArchive }: CommandContext): Outcome =>
    await withArchive(async ({ archive }) => {
      const roll = await archive.stock.find(code);
      if (!roll.ok) return roll;
      const unit = await unitOfShop(archive, locale, false);
      const movements = await archive.stock.ledger(roll.value.id);
      const rows = movements.map(({ id, kind, deltaMm, at, by, note, output, undoes, undoneBy }) => [
        String(id),
        pastTime(at),
        kind,
        deltaMm === 0 ? '' : lengthText(deltaMm, longLengthFormat(unit)),
        by,
        [
          output && `Output ${output.number} of ${output.jobNumber}, print ${output.printing}`,
          undoes !== undefined && `undoes ${undoes}`,
          undoneBy !== undefined && `undone by ${undoneBy}`,
          note,
        ]
          .filter(Boolean)
          .join('; '),
      ]);
      terminal.printResult({ roll: roll.value, movements }, [
        rollRow(roll.value, unit, now().slice(0, 10)).map(printable).filter(Boolean).join(', '),
        ...tableLines(rows),
      ]);
      return resultOk('done');
    });

interface ReceiveOptions extends EntryOptions {
  readonly material: string;
  readonly use: StockUse;
  readonly lot: string;
  readonly roll: string;
  readonly width: string;
  readonly length: string;
  readonly place: string;
  readonly received?: string;
  readonly useBy?: string;
}

export const receiveCommand =
  ({ width, length, lot, roll, received, useBy, by, inches, ...facts }: ReceiveOptions) =>
  async (context: CommandContext): Outcome =>
    await context.withArchive(async (parts) => {
      const unit = await unitOfShop(parts.archive, context.locale, inches);
      const widthMm = lengthFromText(width, unit);
      if (!widthMm.ok) return widthMm;
      const lengthMm = lengthFromText(length, unit, ROLL_RANGE);
      if (!lengthMm.ok) return lengthMm;
      const rollFacts = {
        ...facts,
        lotNumber: lot,
        rollNumber: roll,
        widthMm: widthMm.value,
        receivedOn: received ?? parts.now().slice(0, 10),
        ...(useBy !== undefined && { useBy }),
      };
      return said(
        context,
        unit,
        await receiveRoll(parts, { facts: rollFacts, lengthMm: lengthMm.value, by, unit }),
      );
    });

interface ChangeOptions extends EntryOptions {
  readonly use?: StockUse;
  readonly material?: string;
  readonly lot?: string;
  readonly roll?: string;
  readonly width?: string;
  readonly place?: string;
  readonly received?: string;
  /** Empty for a roll without such a date. */
  readonly useBy?: string;
}

/** What is not given stays as it is; the ledger says what it was. */
export const changeCommand =
  (code: string, { use, material, lot, roll, width, place, received, useBy, by, inches }: ChangeOptions) =>
  async (context: CommandContext): Outcome =>
    await onRoll(context, code, inches, async (parts, stands, unit) => {
      const widthMm = width === undefined ? resultOk(stands.widthMm) : lengthFromText(width, unit);
      if (!widthMm.ok) return widthMm;
      const last = useBy ?? stands.useBy ?? '';
      const facts = {
        use: use ?? stands.use,
        material: material ?? stands.material,
        lotNumber: lot ?? stands.lotNumber,
        rollNumber: roll ?? stands.rollNumber,
        widthMm: widthMm.value,
        place: place ?? stands.place,
        receivedOn: received ?? stands.receivedOn,
        ...(last !== '' && { useBy: last }),
      };
      return await changeRoll(parts, { rollId: stands.id, facts, by, unit });
    });

interface LabelOptions {
  readonly to: string;
  readonly skip?: number;
}

export const labelsCommand =
  (rolls: readonly string[], { to, skip = 0 }: LabelOptions) =>
  async ({ terminal, tools, locale, withArchive }: CommandContext): Outcome =>
    await withArchive(async (parts) => {
      const { profile = shopDefaults(locale) } = await parts.archive.shelf.items();
      const saved = await saveRollLabels(parts, { rolls, shop: profile, path: to, skip }, tools);
      if (!saved.ok) return saved;
      terminal.printResult({ file: to }, [`Written: ${printable(to)}`]);
      return resultOk('done');
    });

interface CorrectOptions extends EntryOptions {
  readonly left: string;
  readonly note: string;
}

export const correctCommand =
  (code: string, { left, note, by, inches }: CorrectOptions) =>
  async (context: CommandContext): Outcome =>
    await onRoll(context, code, inches, async (parts, roll, unit) => {
      const counted = lengthFromText(left, unit, ROLL_RANGE);
      if (!counted.ok) return counted;
      return await correctRoll(parts, { rollId: roll.id, countedMm: counted.value, note, by, unit });
    });

interface ScrapOptions extends EntryOptions {
  readonly length: string;
  readonly note: string;
  readonly belowZero: boolean;
}

export const scrapCommand =
  (code: string, { length, note, belowZero, by, inches }: ScrapOptions) =>
  async (context: CommandContext): Outcome =>
    await onRoll(context, code, inches, async (parts, roll, unit) => {
      const off = lengthFromText(length, unit, ROLL_RANGE);
      if (!off.ok) return off;
      const scrapped = { rollId: roll.id, lengthMm: off.value, note, by, unit };
      return await scrapFilm(parts, { ...scrapped, isBelowZeroAllowed: belowZero });
    });

export const undoCommand =
  (movementId: number, { note, belowZero, by, inches }: Omit<ScrapOptions, 'length'>) =>
  async (context: CommandContext): Outcome =>
    await context.withArchive(async (parts) => {
      const unit = await unitOfShop(parts.archive, context.locale, inches);
      const wrong = { movementId, note, by, unit, isBelowZeroAllowed: belowZero };
      return said(context, unit, await undoMovement(parts, wrong));
    });

const onRoll = async (
  context: CommandContext,
  code: string,
  inches: boolean,
  act: (parts: ActParts, roll: StockRoll, unit: Unit) => Promise<Result<StockRoll>>,
): Outcome =>
  await context.withArchive(async (parts) => {
    const roll = await parts.archive.stock.find(code);
    if (!roll.ok) return roll;
    const unit = await unitOfShop(parts.archive, context.locale, inches);
    return said(context, unit, await act(parts, roll.value, unit));
  });

/** A roll as it is after an act. */
function said(
  { terminal, now }: CommandContext,
  unit: Unit,
  roll: Result<StockRoll>,
): Result<CommandOutcome> {
  if (!roll.ok) return roll;
  terminal.printResult(roll.value, [
    rollRow(roll.value, unit, now().slice(0, 10)).map(printable).filter(Boolean).join(', '),
  ]);
  return resultOk('done');
}
