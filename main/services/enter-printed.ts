/** Enters that an output was printed: the film that it took off each roll, as planned or as it really was. */
import type { ContractReply, ContractRequest } from '../../core/contract/contract.ts';
import type { RollTaken } from '../../core/contract/verbs-stock.ts';
import { jobFromJson } from '../../core/job/job-json.ts';
import { sideVehicle } from '../../core/job/vehicles.ts';
import { jobLayout } from '../../core/layout/side-layout.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { ManifestFill } from '../../core/output/manifest.ts';
import { panelOfPrint, takenTwice } from '../../core/output/printed-panels.ts';
import { jobOfReprint } from '../../core/output/reprint-layouts.ts';
import type { StockRoll } from '../../core/shop/stock-roll.ts';
import { stockCode } from '../../core/shop/stock-text.ts';
import { STOCK_USE_NAMES } from '../../core/shop/stock-use.ts';
import type { ArchivedOutput, PrintedBeside } from '../archive/port.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import { keepRecord } from './keep-record.ts';
import { readKeptManifest } from './kept-manifest.ts';
import type { ActParts } from './service-parts.ts';

/** The rolls that an output takes as planned, and how often it was entered as printed already. */
export async function planPrinted(
  { archive, planning }: Pick<ActParts, 'archive' | 'planning'>,
  outputId: number,
  tools: TaskTools,
): Promise<Result<ContractReply<'stock:plan-printed'>>> {
  const output = await archive.outputs.find(outputId);
  if (!output.ok) return output;
  const { document, kind, unitNumber, jobId, number, files } = output.value;
  const job = jobFromJson(document);
  if (!job.ok) return job;
  const manifest = await readKeptManifest(archive.vault, output.value);
  if (!manifest.ok) return manifest;
  const request = {
    job: kind === 'reprint' ? jobOfReprint(job.value, unitNumber) : job.value,
    panels: manifest.value.panels,
    hasColorStrip: files.some((file) => file.kind === 'color-strip'),
    archiveFolder: archive.folder,
  };
  const planned = await planning.run('outputRolls', request, tools);
  if (!planned.ok) return planned;
  return resultOk({ ...planned.value, printings: await archive.stock.printings(jobId, number) });
}

/** Enters it in the ledgers of all rolls at once, with the panels that each of them carried. */
export async function enterPrinted(
  { archive, now }: Pick<ActParts, 'archive' | 'now'>,
  { outputId, rolls, offPrinter, isTwiceAllowed = false, ...entry }: ContractRequest<'stock:printed'>,
): Promise<Result<ArchivedOutput>> {
  const output = await archive.outputs.find(outputId);
  if (!output.ok) return output;
  const { jobId, number, record } = output.value;
  const job = await archive.jobs.find(jobId);
  if (!job.ok) return job;
  const panels = outputPrints(output.value);
  if (!panels.ok) return panels;
  const named: NamedTaken[] = [];
  for (const taken of rolls) {
    const wrong = panelProblem(taken, number, panels.value);
    if (wrong) return resultProblem(wrong);
    const roll = await archive.stock.find(taken.rollId);
    if (!roll.ok) return roll;
    const misused = useProblem(roll.value, taken);
    if (misused) return resultProblem(misused);
    named.push({ ...taken, roll: stockCode(roll.value.number) });
  }
  const twice = isTwiceAllowed
    ? []
    : takenTwice(named, (print) => printsOf(panels.value, panelOfPrint(print)).length);
  if (twice.length > 0) return resultProblem(enteredTwice(twice));
  const before = new Set(
    (output.value.usedRolls ?? []).flatMap((used) => (used.kind === 'printed' ? used.panelLabels : [])),
  );
  const manifest = await readKeptManifest(archive.vault, output.value);
  const beside = manifest.ok ? (manifest.value.fill ?? []) : [];
  const entered = await archive.stock.enterPrinted({
    ...entry,
    at: now(),
    jobId,
    jobNumber: job.value.number,
    outputNumber: number,
    movements: rolls.flatMap(({ rollId, kind, lengthMm, panelLabels, isUsedUp }) => [
      { rollId, kind, length: { offMm: lengthMm }, note: '', panelLabels },
      ...(isUsedUp
        ? [
            {
              rollId,
              kind: 'corrected' as const,
              length: { countedMm: 0 },
              note: 'Used up',
              panelLabels: [],
            },
          ]
        : []),
    ]),
    // Pieces beside panels that were entered before were entered with them.
    beside: beside
      .filter((piece) => !piece.beside.some((label) => before.has(label)))
      .flatMap((piece) => printedBeside(piece, rolls)),
  });
  if (!entered.ok) return entered;
  if (offPrinter === undefined) return await archive.outputs.find(outputId);
  return await keepRecord(archive, output.value, { ...record, offPrinter });
}

/** A piece of another output in the waste beside panels: it takes no film, and has the lot number of its roll. */
function printedBeside({ of, beside }: ManifestFill, rolls: readonly RollTaken[]): PrintedBeside[] {
  if (!of) return [];
  const isOn = ({ panelLabels }: RollTaken) => beside.every((label) => panelLabels.includes(label));
  const kinds = ['printed', 'laminated'] as const;
  return kinds.flatMap((kind): PrintedBeside[] => {
    const taken = rolls.find((each) => each.kind === kind && isOn(each));
    const { jobId, jobNumber, output, label } = of;
    return taken
      ? [{ rollId: taken.rollId, kind, jobId, jobNumber, outputNumber: output, panelLabel: label }]
      : [];
  });
}

interface NamedTaken extends RollTaken {
  readonly roll: string;
}

/** Each panel of an output with the unit numbers that it is printed for. */
function outputPrints({
  document,
  files,
  kind,
  unitNumber,
}: ArchivedOutput): Result<ReadonlyMap<string, readonly string[]>> {
  const read = jobFromJson(document);
  if (!read.ok) return read;
  const job = kind === 'reprint' ? jobOfReprint(read.value, unitNumber) : read.value;
  const units = new Map(
    jobLayout(job).flatMap(({ side, panels }) =>
      panels.map(({ id }) => [id, sideVehicle(job, side).units.map((unit) => unit.unitNumber)] as const),
    ),
  );
  return resultOk(
    new Map(
      files.flatMap(({ panelLabel, panelId }) =>
        panelLabel === undefined || panelId === undefined ? [] : [[panelLabel, units.get(panelId) ?? ['']]],
      ),
    ),
  );
}

/** The vehicles that a print can be for: all of its panel where it names none, or the one that it names. */
function printsOf(
  panels: ReadonlyMap<string, readonly string[]>,
  { panelLabel, unitNumber }: ReturnType<typeof panelOfPrint>,
): readonly string[] {
  const units = panels.get(panelLabel) ?? [];
  return unitNumber === undefined ? units : units.filter((unit) => unit === unitNumber);
}

function panelProblem(
  { panelLabels }: RollTaken,
  outputNumber: number,
  panels: ReadonlyMap<string, readonly string[]>,
): Problem | undefined {
  const unknown = panelLabels.find((print) => printsOf(panels, panelOfPrint(print)).length === 0);
  if (unknown === undefined) return undefined;
  const { panelLabel, unitNumber } = panelOfPrint(unknown);
  const units = panels.get(panelLabel);
  if (units) {
    return {
      code: 'print-vehicle-unknown',
      message: `Output ${outputNumber} has no print of ${panelLabel} for ${unitNumber}.`,
      remedy: `Select from: ${units.join(', ')}.`,
    };
  }
  return {
    code: 'panel-label-unknown',
    message: `Output ${outputNumber} has no panel ${panelLabel}.`,
    remedy: `Select from: ${[...panels.keys()].join(', ')}.`,
  };
}

const enteredTwice = (sentences: readonly string[]): Problem => ({
  code: 'stock-printed-twice',
  message: sentences.join(' '),
  remedy: 'Correct the entry, or confirm that it is right.',
});

function useProblem(
  { use, number, material }: StockRoll,
  { kind }: Pick<RollTaken, 'kind'>,
): Problem | undefined {
  if ((use === 'laminate') === (kind === 'laminated')) return undefined;
  return {
    code: 'stock-roll-use',
    message: `${stockCode(number)}, ${material}, is ${STOCK_USE_NAMES[use]}: no panel was ${kind} on it.`,
    remedy: 'Select the roll that was really used, or put right what this roll is.',
  };
}
