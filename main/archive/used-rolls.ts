import type Database from 'better-sqlite3';
import type { UsedRoll } from '../../core/output/used-roll.ts';

/** A movement that was undone counts no more. */
export const STANDING =
  'NOT EXISTS (SELECT 1 FROM stock_movements AS counter WHERE counter.undoes = stock_movements.id)';

interface UsedRow extends Omit<UsedRoll, 'panelLabels'> {
  readonly panelLabels: string;
}

/** Lots and rolls of an output as they are known now: a lot that was corrected is corrected here too. */
export const usedRollsOf = (db: Database.Database, jobId: string, outputNumber: number): UsedRoll[] =>
  db
    .prepare<[string, number], UsedRow>(
      `SELECT kind, printing, panel_labels AS panelLabels, use, material, lot_number AS lotNumber,
         roll_number AS rollNumber
       FROM stock_movements JOIN stock_rolls ON stock_rolls.id = roll_id
       WHERE job_id = ? AND output_number = ? AND kind IN ('printed', 'laminated') AND ${STANDING}
       ORDER BY stock_movements.id`,
    )
    .all(jobId, outputNumber)
    .map(({ panelLabels, ...row }) => ({ ...row, panelLabels: JSON.parse(panelLabels) as string[] }));
