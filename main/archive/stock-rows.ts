/** Rolls and movements as the database has them, and as the rest of the program sees them. */
import type { StockMovement, StockRoll } from '../../core/shop/stock-roll.ts';

const UM_PER_MM = 1000;

export interface RollRow extends Omit<StockRoll, 'useBy' | 'leftMm' | 'isPartial'> {
  readonly useBy: string | null;
  readonly leftUm: number;
  readonly receivedUm: number;
}

export const rollFromRow = ({ useBy, leftUm, receivedUm, ...roll }: RollRow): StockRoll => ({
  ...roll,
  ...(useBy !== null && { useBy }),
  leftMm: leftUm / UM_PER_MM,
  isPartial: leftUm < receivedUm,
});

export interface MovementRow extends Omit<StockMovement, 'deltaMm' | 'output' | 'undoes' | 'undoneBy'> {
  readonly deltaUm: number;
  readonly jobId: string | null;
  readonly jobNumber: string | null;
  readonly outputNumber: number | null;
  readonly printing: number | null;
  readonly panelLabels: string | null;
  readonly undoes: number | null;
  readonly undoneBy: number | null;
}

export function movementFromRow(row: MovementRow): StockMovement {
  const { deltaUm, jobId, jobNumber, outputNumber, printing, panelLabels, undoes, undoneBy, ...movement } =
    row;
  return {
    ...movement,
    deltaMm: deltaUm / UM_PER_MM,
    ...(jobId !== null && {
      output: {
        jobId,
        jobNumber: jobNumber!,
        number: outputNumber!,
        printing: printing!,
        panelLabels: JSON.parse(panelLabels!) as string[],
      },
    }),
    ...(undoes !== null && { undoes }),
    ...(undoneBy !== null && { undoneBy }),
  };
}
