import type { UsedRoll } from '../../core/output/used-roll.ts';
import type { Sql } from './sql.ts';

/** Matches movements that were not undone. */
export const STANDING =
  'NOT EXISTS (SELECT 1 FROM stock_movements AS counter WHERE counter.undoes = stock_movements.id)';

interface UsedRow extends Omit<UsedRoll, 'panelLabels'> {
  readonly panelLabels: string;
}

/** Lots and rolls of an output as known now, so a corrected lot is corrected here too. */
export const usedRollsOf = async (sql: Sql, jobId: string, outputNumber: number): Promise<UsedRoll[]> =>
  (
    await sql.all<UsedRow>(
      `SELECT kind, printing, panel_labels AS "panelLabels", use, material, lot_number AS "lotNumber",
         roll_number AS "rollNumber"
       FROM stock_movements JOIN stock_rolls ON stock_rolls.id = roll_id
       WHERE job_id = ? AND output_number = ? AND kind IN ('printed', 'laminated') AND ${STANDING}
       ORDER BY stock_movements.id`,
      [jobId, outputNumber],
    )
  ).map(({ panelLabels, ...row }) => ({ ...row, panelLabels: JSON.parse(panelLabels) as string[] }));
