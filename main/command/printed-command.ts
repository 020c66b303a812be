/** An output was printed: its film and laminate go off the rolls of the shelf. */
import type { ContractReply } from '../../core/contract/contract.ts';
import type { RollTaken } from '../../core/contract/verbs-stock.ts';
import { lengthFromText } from '../../core/measure/length-from-text.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import { filmLengthText, rollLengthText } from '../../core/measure/long-length.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { Mm } from '../../core/measure/units.ts';
import { printsText } from '../../core/output/printed-panels.ts';
import type { StockRoll } from '../../core/shop/stock-roll.ts';
import { stockCode } from '../../core/shop/stock-text.ts';
import type { Archive } from '../archive/port.ts';
import { enterPrinted, planPrinted } from '../services/enter-printed.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import { type EntryOptions, ROLL_RANGE, type Unit, unitOfShop } from './stock-options.ts';
import { printable } from './terminal.ts';

interface PrintedOptions extends EntryOptions {
  readonly roll: readonly string[];
  readonly laminate: readonly string[];
  readonly usedUp: readonly string[];
  readonly offPrinter?: string;
  readonly again: boolean;
  readonly twice: boolean;
  readonly belowZero: boolean;
}

export const printedCommand =
  (job: string, number: number, options: PrintedOptions) =>
  async ({ terminal, tools, locale, withArchive }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async (parts) => {
      const { archive } = parts;
      const output = await archive.outputs.findNumbered(job, number);
      if (!output.ok) return output;
      const unit = await unitOfShop(archive, locale, options.inches);
      const plan = await planPrinted(parts, output.value.id, tools);
      if (!plan.ok) return plan;
      const rolls = await rollsTaken(archive, plan.value, options, unit);
      if (!rolls.ok) return rolls;
      const { by, again, twice, belowZero, offPrinter } = options;
      const entered = await enterPrinted(parts, {
        outputId: output.value.id,
        rolls: rolls.value.map(({ taken }) => taken),
        isFurtherPrint: again,
        isTwiceAllowed: twice,
        isBelowZeroAllowed: belowZero,
        by,
        unit,
        ...(offPrinter !== undefined && { offPrinter }),
      });
      if (!entered.ok) return entered;
      const lines: string[] = [];
      for (const { roll, taken } of rolls.value) {
        const left = await archive.stock.find(roll.id);
        if (!left.ok) return left;
        lines.push(
          `${stockCode(roll.number)} ${roll.material}: ${filmLengthText(taken.lengthMm, unit)} off, ${rollLengthText(left.value.leftMm, unit)} left; ${printsText(taken.panelLabels)}`,
        );
      }
      terminal.printResult(
        { output: number, usedRolls: entered.value.usedRolls ?? [] },
        lines.map(printable),
      );
      return resultOk('done');
    });

interface Taken {
  readonly roll: StockRoll;
  readonly taken: RollTaken;
}

interface Piece extends Pick<RollTaken, 'kind' | 'lengthMm'> {
  readonly what: string;
  readonly named: string | undefined;
  readonly stockRollId?: string | undefined;
  readonly panelLabels: readonly string[];
}

/** The planned rolls in turn, each with the roll of the shelf that is named for it, or else the one that the job took. */
async function rollsTaken(
  archive: Archive,
  { rolls }: ContractReply<'stock:plan-printed'>,
  { roll: films, laminate: laminates, usedUp }: PrintedOptions,
  unit: Unit,
): Promise<Result<readonly Taken[]>> {
  const taken: Taken[] = [];
  const laminated = rolls.filter(({ laminate }) => laminate);
  for (const [index, planned] of rolls.entries()) {
    const pieces: readonly Piece[] = [
      { kind: 'printed', what: planned.film, named: films[index], ...planned },
      ...(planned.laminate
        ? [
            {
              kind: 'laminated' as const,
              what: planned.laminate.name,
              named: laminates[laminated.indexOf(planned)],
              panelLabels: planned.panelLabels,
              ...planned.laminate,
            },
          ]
        : []),
    ];
    for (const { kind, what, named, lengthMm, stockRollId, panelLabels } of pieces) {
      const option = kind === 'printed' ? '--roll' : '--laminate';
      const needs = `${filmLengthText(lengthMm, unit)} of ${what} (${printsText(panelLabels)})`;
      const given = named === undefined ? undefined : rollNamed(named, unit);
      if (given && !given.ok) return given;
      const code = given?.value.code ?? stockRollId;
      if (code === undefined) {
        return resultProblem({
          code: 'printed-roll-missing',
          message: `No roll is named for ${needs}, rolls ${lengthText(planned.widthMm, unit)} wide.`,
          remedy: `Name it with ${option}, such as ${option} R-0042; stock lists the rolls on the shelf.`,
        });
      }
      const roll = await archive.stock.find(code);
      if (!roll.ok) return roll;
      const isUsedUp = usedUp.some((each) => each.trim().toLowerCase() === codeOf(roll.value));
      const used = given?.value.lengthMm ?? lengthMm;
      taken.push({
        roll: roll.value,
        taken: { rollId: roll.value.id, kind, lengthMm: used, panelLabels: [...panelLabels], isUsedUp },
      });
    }
  }
  const unknown = usedUp.find(
    (each) => !taken.some(({ roll }) => codeOf(roll) === each.trim().toLowerCase()),
  );
  if (unknown === undefined && films.length <= rolls.length && laminates.length <= laminated.length)
    return resultOk(taken);
  return resultProblem({
    code: 'printed-roll-spare',
    message:
      unknown === undefined
        ? films.length > rolls.length
          ? `More rolls are named than the output takes: ${rolls.length}.`
          : `More rolls of laminate are named than the output takes: ${laminated.length}.`
        : `The output takes nothing off ${unknown}, so it does not use it up.`,
    remedy: 'Name one roll for each roll of the ticket, in its order.',
  });
}

const codeOf = ({ number }: StockRoll): string => stockCode(number).toLowerCase();

/** `R-0042`, or `R-0042=12.4 m` with what was really used. */
function rollNamed(text: string, unit: Unit): Result<{ readonly code: string; readonly lengthMm?: Mm }> {
  const [code, ...length] = text.split('=') as [string, ...string[]];
  if (length.length === 0) return resultOk({ code });
  const lengthMm = lengthFromText(length.join('='), unit, ROLL_RANGE);
  return lengthMm.ok ? resultOk({ code, lengthMm: lengthMm.value }) : lengthMm;
}
