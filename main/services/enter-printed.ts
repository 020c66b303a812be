/** An output was printed: what it takes off which rolls, as planned and as it really was. */
import type { ContractReply, ContractRequest } from '../../core/contract/contract.ts';
import type { RollTaken } from '../../core/contract/verbs-stock.ts';
import { jobFromJson } from '../../core/job/job-json.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { ManifestFill } from '../../core/output/manifest.ts';
import { recordTidied } from '../../core/output/record-fields.ts';
import { jobOfReprint } from '../../core/output/reprint-layouts.ts';
import { stockCode } from '../../core/shop/stock-text.ts';
import { STOCK_USE_NAMES } from '../../core/shop/stock-use.ts';
import type { Archive, ArchivedOutput, PrintedBeside } from '../archive/port.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
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
  const { document, kind, unitNumber, jobId, number } = output.value;
  const job = jobFromJson(document);
  if (!job.ok) return job;
  const manifest = await readKeptManifest(archive.vault, output.value);
  if (!manifest.ok) return manifest;
  const request = {
    job: kind === 'reprint' ? jobOfReprint(job.value, unitNumber) : job.value,
    panels: manifest.value.panels,
    archiveFolder: archive.folder,
  };
  const planned = await planning.run('outputRolls', request, tools);
  if (!planned.ok) return planned;
  return resultOk({ ...planned.value, printings: await archive.stock.printings(jobId, number) });
}

/** Enters it in the ledgers of all rolls at once, with the panels that each of them carried. */
export async function enterPrinted(
  { archive, now }: Pick<ActParts, 'archive' | 'now'>,
  { outputId, rolls, offPrinter, ...entry }: ContractRequest<'stock:printed'>,
): Promise<Result<ArchivedOutput>> {
  const output = await archive.outputs.find(outputId);
  if (!output.ok) return output;
  const { jobId, number, files, record } = output.value;
  const job = await archive.jobs.find(jobId);
  if (!job.ok) return job;
  const known = new Set(files.flatMap(({ panelLabel }) => panelLabel ?? []));
  for (const taken of rolls) {
    const wrong = panelProblem(taken, number, known) ?? (await useProblem(archive, taken));
    if (wrong) return resultProblem(wrong);
  }
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
    // A further print is of its panels alone.
    beside: entry.isFurtherPrint ? [] : beside.flatMap((piece) => printedBeside(piece, rolls)),
  });
  if (!entered.ok) return entered;
  if (offPrinter === undefined) return await archive.outputs.find(outputId);
  return await archive.outputs.keepRecord(outputId, recordTidied({ ...record, offPrinter }));
}

/** A piece of another output that lay in the waste beside panels: it takes no film, and has the lot of its roll. */
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

function panelProblem(
  { panelLabels }: RollTaken,
  outputNumber: number,
  known: ReadonlySet<string>,
): Problem | undefined {
  const unknown = panelLabels.find((label) => !known.has(label));
  if (unknown === undefined) return undefined;
  return {
    code: 'panel-label-unknown',
    message: `Output ${outputNumber} has no panel ${unknown}.`,
    remedy: `Select from: ${[...known].join(', ')}.`,
  };
}

async function useProblem(archive: Archive, { rollId, kind }: RollTaken): Promise<Problem | undefined> {
  const roll = await archive.stock.find(rollId);
  if (!roll.ok) return roll.problem;
  const { use, number, material } = roll.value;
  if ((use === 'laminate') === (kind === 'laminated')) return undefined;
  return {
    code: 'stock-roll-use',
    message: `${stockCode(number)}, ${material}, is ${STOCK_USE_NAMES[use]}: no panel was ${kind} on it.`,
    remedy: 'Select the roll that was really used, or put right what this roll is.',
  };
}
