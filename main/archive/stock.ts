/** The shop's rolls: the facts about them, and their ledger. Each call reads and writes in one transaction. */
import { lengthText } from '../../core/measure/length-text.ts';
import { filmLengthText, rollLengthText } from '../../core/measure/long-length.ts';
import { firstOf, itemAt, present, valueAt } from '../../core/measure/present.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { printsText } from '../../core/output/printed-panels.ts';
import type { UsedRoll } from '../../core/output/used-roll.ts';
import type { StockFacts, StockMovement, StockRoll } from '../../core/shop/stock-roll.ts';
import { lotText, materialKey, stockCode, stockNumberFromCode } from '../../core/shop/stock-text.ts';
import type {
  ArchiveProblem,
  MovementEntry,
  NewMovement,
  PrintedBeside,
  PrintedEntry,
  Stock,
} from './port.ts';
import type { Sql, Store } from './sql.ts';
import { type MovementRow, movementFromRow, type RollRow, rollFromRow } from './stock-rows.ts';
import { STANDING, usedRollsOf } from './used-rolls.ts';

const UM_PER_MM = 1000;
const umOf = (mm: number): number => Math.round(mm * UM_PER_MM);

export class StoredStock implements Stock {
  readonly #store: Store;

  constructor(store: Store) {
    this.#store = store;
  }

  async rolls(): Promise<StockRoll[]> {
    const rows = await this.#store.read((sql) =>
      sql.all<RollRow>(`SELECT ${ROLL} FROM stock_rolls ORDER BY received_on DESC, number DESC`),
    );
    return rows.map(rollFromRow);
  }

  async find(idOrCode: string): Promise<Result<StockRoll, ArchiveProblem>> {
    return await this.#store.read((sql) => rollOf(sql, idOrCode));
  }

  async ledger(rollId: string): Promise<StockMovement[]> {
    const rows = await this.#store.read((sql) =>
      sql.all<MovementRow>(`SELECT ${MOVEMENT} FROM stock_movements WHERE roll_id = ? ORDER BY id`, [rollId]),
    );
    return rows.map(movementFromRow);
  }

  async receive(
    id: string,
    facts: StockFacts,
    lengthMm: number,
    entry: MovementEntry,
  ): Promise<Result<StockRoll, ArchiveProblem>> {
    return await this.#store.write(async (sql) => {
      const twin = await twinOf(sql, facts, id);
      if (twin) return resultProblem(rollThere(twin));
      await sql.run(
        `INSERT INTO stock_rolls (id, use, material, material_key, lot_number, roll_number, width_mm, place, received_on, use_by)
         VALUES (@id, @use, @material, @materialKey, @lotNumber, @rollNumber, @widthMm, @place, @receivedOn, @useBy)`,
        { id, ...columnsOf(facts) },
      );
      await insertMovement(sql, {
        ...plain(entry),
        rollId: id,
        kind: 'received',
        deltaUm: umOf(lengthMm),
        note: '',
      });
      return await rollOf(sql, id);
    });
  }

  async change(
    rollId: string,
    facts: StockFacts,
    entry: MovementEntry,
  ): Promise<Result<StockRoll, ArchiveProblem>> {
    return await this.#store.write(async (sql) => {
      const was = await rollOf(sql, rollId);
      if (!was.ok) return was;
      const twin = await twinOf(sql, facts, was.value.id);
      if (twin) return resultProblem(rollThere(twin));
      await sql.run(
        `UPDATE stock_rolls SET use = @use, material = @material, material_key = @materialKey, lot_number = @lotNumber,
           roll_number = @rollNumber, width_mm = @widthMm, place = @place, received_on = @receivedOn, use_by = @useBy
         WHERE id = @id`,
        { id: was.value.id, ...columnsOf(facts) },
      );
      const note = changeText(was.value, facts, entry.unit);
      if (note !== '')
        await insertMovement(sql, {
          ...plain(entry),
          rollId: was.value.id,
          kind: 'changed',
          deltaUm: 0,
          note,
        });
      return await rollOf(sql, rollId);
    });
  }

  async move(movement: NewMovement, entry: MovementEntry): Promise<Result<StockRoll, ArchiveProblem>> {
    return await this.#store.write(async (sql) => {
      const deltas = await deltasOf(sql, [movement], entry);
      if (!deltas.ok) return deltas;
      const { rollId, kind, note } = movement;
      await insertMovement(sql, { ...plain(entry), rollId, kind, deltaUm: firstOf(deltas.value), note });
      return await rollOf(sql, rollId);
    });
  }

  async undo(
    movementId: number,
    note: string,
    entry: MovementEntry,
  ): Promise<Result<StockRoll, ArchiveProblem>> {
    return await this.#store.write(async (sql) => {
      const wrong = await sql.first<MovementRow>(`SELECT ${MOVEMENT} FROM stock_movements WHERE id = ?`, [
        movementId,
      ]);
      if (!wrong) return resultProblem(movementUnknown);
      if (wrong.undoneBy !== null) return resultProblem(movementUndone);
      if (wrong.kind === 'undone' || wrong.kind === 'changed') return resultProblem(movementFixed);
      const roll = await rollOf(sql, wrong.rollId);
      if (!roll.ok) return roll;
      const deltaUm = -wrong.deltaUm;
      const refused = belowZero(roll.value, deltaUm, umOf(roll.value.leftMm) + deltaUm, entry);
      if (refused) return resultProblem(refused);
      await insertMovement(sql, {
        ...plain(entry),
        rollId: wrong.rollId,
        kind: 'undone',
        deltaUm,
        note,
        undoes: movementId,
      });
      return await rollOf(sql, wrong.rollId);
    });
  }

  async enterPrinted(printed: PrintedEntry): Promise<Result<number, ArchiveProblem>> {
    const { jobId, jobNumber, outputNumber, movements } = printed;
    return await this.#store.write(async (sql) => {
      if (!printed.isFurtherPrint && (await printingsOf(sql, jobId, outputNumber)) > 0)
        return resultProblem(printedAlready(printed, await usedRollsOf(sql, jobId, outputNumber)));
      const deltas = await deltasOf(sql, movements, printed);
      if (!deltas.ok) return deltas;
      const printing = await nextPrinting(sql, jobId, outputNumber);
      for (const [index, { rollId, kind, note, panelLabels }] of movements.entries()) {
        await insertMovement(sql, {
          ...plain(printed),
          rollId,
          kind,
          deltaUm: itemAt(deltas.value, index),
          note,
          output: { jobId, jobNumber, number: outputNumber, printing, panelLabels: [...panelLabels] },
        });
      }
      await insertBeside(sql, printed);
      return resultOk(printing);
    });
  }

  async printings(jobId: string, outputNumber: number): Promise<number> {
    return await this.#store.read((sql) => printingsOf(sql, jobId, outputNumber));
  }
}

const ROLL = `id, number, use, material, lot_number AS "lotNumber", roll_number AS "rollNumber", width_mm AS "widthMm", place,
  received_on AS "receivedOn", use_by AS "useBy",
  (SELECT CAST(sum(delta_um) AS BIGINT) FROM stock_movements WHERE roll_id = stock_rolls.id) AS "leftUm",
  (SELECT CAST(sum(delta_um) AS BIGINT) FROM stock_movements WHERE roll_id = stock_rolls.id AND kind = 'received') AS "receivedUm"`;

const MOVEMENT = `id, roll_id AS "rollId", kind, delta_um AS "deltaUm", at, by, note, job_id AS "jobId",
  job_number AS "jobNumber", output_number AS "outputNumber", printing, panel_labels AS "panelLabels", undoes,
  (SELECT counter.id FROM stock_movements AS counter WHERE counter.undoes = stock_movements.id) AS "undoneBy"`;

async function rollOf(sql: Sql, idOrCode: string): Promise<Result<StockRoll, ArchiveProblem>> {
  const row = await sql.first<RollRow>(`SELECT ${ROLL} FROM stock_rolls WHERE id = ? OR number = ?`, [
    idOrCode,
    stockNumberFromCode(idOrCode) ?? 0,
  ]);
  return row ? resultOk(rollFromRow(row)) : resultProblem(rollUnknown(idOrCode));
}

const columnsOf = ({ useBy, ...facts }: StockFacts) => ({
  ...facts,
  materialKey: materialKey(facts.material),
  useBy: useBy ?? null,
});

/** Another roll with the same material, lot and roll number. */
async function twinOf(sql: Sql, facts: StockFacts, id: string): Promise<StockRoll | undefined> {
  const row = await sql.first<RollRow>(
    `SELECT ${ROLL} FROM stock_rolls
     WHERE use = ? AND material_key = ? AND lot_number = ? AND roll_number = ? AND id <> ?`,
    [facts.use, materialKey(facts.material), facts.lotNumber, facts.rollNumber, id],
  );
  return row && rollFromRow(row);
}

/** All panels that were nested side by side belong to one printing of their output. */
async function insertBeside(sql: Sql, printed: PrintedEntry): Promise<void> {
  const { beside = [], outputNumber, jobNumber } = printed;
  const note = `In the waste beside Output ${outputNumber} of ${jobNumber}`;
  const outputs = Map.groupBy(beside, (piece) => JSON.stringify([piece.jobId, piece.outputNumber]));
  for (const pieces of outputs.values()) {
    const [first] = pieces as [PrintedBeside, ...PrintedBeside[]];
    const { jobId, outputNumber: number } = first;
    const printing = await nextPrinting(sql, jobId, number);
    for (const { rollId, kind, panelLabel } of pieces) {
      const output = { jobId, jobNumber: first.jobNumber, number, printing, panelLabels: [panelLabel] };
      await insertMovement(sql, { ...plain(printed), rollId, kind, deltaUm: 0, note, output });
    }
  }
}

/** What each movement adds to its roll, in the given order. If any roll would go below zero, all are refused. */
async function deltasOf(
  sql: Sql,
  movements: readonly NewMovement[],
  entry: MovementEntry,
): Promise<Result<number[], ArchiveProblem>> {
  const leftUm = new Map<string, number>();
  const rolls = new Map<string, StockRoll>();
  const deltas: number[] = [];
  for (const { rollId, length } of movements) {
    const roll = await rollOf(sql, rollId);
    if (!roll.ok) return roll;
    rolls.set(rollId, roll.value);
    const before = leftUm.get(rollId) ?? umOf(roll.value.leftMm);
    const delta = 'offMm' in length ? -umOf(length.offMm) : umOf(length.countedMm) - before;
    leftUm.set(rollId, before + delta);
    deltas.push(delta);
  }
  for (const [rollId, roll] of rolls) {
    const left = valueAt(leftUm, rollId);
    const refused = belowZero(roll, left - umOf(roll.leftMm), left, entry);
    if (refused) return resultProblem(refused);
  }
  return resultOk(deltas);
}

/** Film returned to a roll is never refused, even if the roll stays below zero. Keeps STK2. */
function belowZero(
  roll: StockRoll,
  deltaUm: number,
  leftUm: number,
  { isBelowZeroAllowed = false, unit }: MovementEntry,
): ArchiveProblem | undefined {
  if (leftUm >= 0 || deltaUm >= 0 || isBelowZeroAllowed) return undefined;
  return {
    code: 'stock-below-zero',
    message: `This takes ${filmLengthText(-deltaUm / UM_PER_MM, unit)} off ${stockCode(roll.number)}, which has ${rollLengthText(roll.leftMm, unit)} left.`,
    remedy: 'Measure what is left and correct the roll, or confirm that it comes out below zero.',
  };
}

interface Insertion {
  readonly rollId: string;
  readonly kind: StockMovement['kind'];
  readonly deltaUm: number;
  readonly at: string;
  readonly by: string;
  readonly note: string;
  readonly output?: StockMovement['output'];
  readonly undoes?: number;
}

const plain = ({ at, by }: MovementEntry) => ({ at, by });

const insertMovement = (sql: Sql, { output, undoes, ...movement }: Insertion): Promise<void> =>
  sql.run(
    `INSERT INTO stock_movements
       (roll_id, kind, delta_um, at, by, note, job_id, job_number, output_number, printing, panel_labels, undoes)
     VALUES (@rollId, @kind, @deltaUm, @at, @by, @note, @jobId, @jobNumber, @number, @printing, @panelLabels, @undoes)`,
    {
      ...movement,
      jobId: output?.jobId ?? null,
      jobNumber: output?.jobNumber ?? null,
      number: output?.number ?? null,
      printing: output?.printing ?? null,
      panelLabels: output ? JSON.stringify(output.panelLabels) : null,
      undoes: undoes ?? null,
    },
  );

const printingsOf = async (sql: Sql, jobId: string, outputNumber: number): Promise<number> =>
  present(
    await sql.first<{ n: number }>(
      `SELECT count(DISTINCT printing) AS n FROM stock_movements
     WHERE job_id = ? AND output_number = ? AND kind = 'printed' AND ${STANDING}`,
      [jobId, outputNumber],
    ),
    'The row that a statement gives',
  ).n;

/** A number that was undone is not used again, because the ledger refers to it. */
const nextPrinting = async (sql: Sql, jobId: string, outputNumber: number): Promise<number> =>
  present(
    await sql.first<{ n: number }>(
      `SELECT coalesce(max(printing), 0) + 1 AS n FROM stock_movements WHERE job_id = ? AND output_number = ?`,
      [jobId, outputNumber],
    ),
    'The row that a statement gives',
  ).n;

/**
 * The facts that a change replaced, for the ledger. The storage place is left out, because it is not a fact about the
 * film.
 */
function changeText(was: StockFacts, now: StockFacts, unit: 'mm' | 'in'): string {
  const facts: readonly (readonly [string, (facts: StockFacts) => string])[] = [
    ['use', ({ use }) => use.replaceAll('-', ' ')],
    ['material', ({ material }) => material],
    ['lot number', ({ lotNumber }) => lotNumber || 'not known'],
    ['roll number', ({ rollNumber }) => rollNumber],
    ['width', ({ widthMm }) => lengthText(widthMm, unit)],
    ['received on', ({ receivedOn }) => receivedOn],
    ['use by', ({ useBy }) => useBy ?? 'not known'],
  ];
  return facts
    .flatMap(([name, of]) => (of(was) === of(now) ? [] : [`${name} ${of(now)} instead of ${of(was)}`]))
    .join('; ');
}

const rollUnknown = (idOrCode: string): ArchiveProblem => ({
  code: 'stock-roll-unknown',
  message: `The shelf has no roll ${idOrCode}.`,
  remedy: 'Read the code on the label of the roll, such as R-0042, or receive the roll first.',
});

const rollThere = (roll: StockRoll): ArchiveProblem => ({
  code: 'stock-roll-there',
  message: `The shelf has ${roll.material}, ${lotText(roll)} already, as ${stockCode(roll.number)}.`,
  remedy: 'Enter another lot or roll number, or correct the length of that roll.',
});

/** Lists the panels that are entered again, or, if there are none, those entered before. */
function printedAlready(
  { outputNumber, movements }: PrintedEntry,
  used: readonly UsedRoll[],
): ArchiveProblem {
  const printsOf = (all: readonly { readonly kind: string; readonly panelLabels: readonly string[] }[]) =>
    new Set(all.flatMap(({ kind, panelLabels }) => (kind === 'printed' ? panelLabels : [])));
  const before = printsOf(used);
  const again = [...printsOf(movements)].filter((print) => before.has(print));
  return {
    code: 'stock-printed-already',
    ...(again.length > 0
      ? {
          message: `Output ${outputNumber} was entered as printed already, of this ${printsText(again)}.`,
          remedy: 'Confirm that it was printed once more, or leave it as it is.',
        }
      : {
          message: `Output ${outputNumber} was entered as printed already, with ${printsText([...before])}.`,
          remedy: 'Confirm that these panels were printed as well, or leave it as it is.',
        }),
  };
}

const movementUnknown: ArchiveProblem = {
  code: 'stock-movement-unknown',
  message: 'No ledger of a roll has this entry.',
  remedy: 'Select an entry from the ledger of the roll.',
};

const movementUndone: ArchiveProblem = {
  code: 'stock-movement-undone',
  message: 'This entry was undone already.',
  remedy: 'Leave it as it is, or enter what is right.',
};

const movementFixed: ArchiveProblem = {
  code: 'stock-movement-fixed',
  message: 'A counter-entry and a change of what is known of a roll cannot be undone.',
  remedy: 'Enter what is right instead.',
};
