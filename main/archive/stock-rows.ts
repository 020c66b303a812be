/** Rolls and movements, as database rows and as the rest of the program uses them. */

import { present } from '../../core/measure/present.ts';
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
        jobNumber: present(jobNumber, 'The number of a job in an entry'),
        number: present(outputNumber, 'The number of an output in an entry'),
        printing: present(printing, 'The print of an entry'),
        panelLabels: JSON.parse(present(panelLabels, 'The panels of an entry')) as string[],
      },
    }),
    ...(undoes !== null && { undoes }),
    ...(undoneBy !== null && { undoneBy }),
  };
}
