/** Lot and roll of the panels of an output, as entered when it was printed. */
import { z } from 'zod';
import { FIRST_FILM_ID } from '../job/job-films.ts';
import { listText } from '../measure/list-text.ts';
import { StockFacts } from '../shop/stock-roll.ts';
import { lotText } from '../shop/stock-text.ts';
import type { FilmPanels } from './film-panels.ts';
import { panelOfPrint } from './printed-panels.ts';
import type { ProductionRecord } from './production-record.ts';
import { recordPart, recordWithPart } from './record-parts.ts';

export const UsedRoll = z.strictObject({
  ...StockFacts.pick({ use: true, material: true, lotNumber: true, rollNumber: true }).shape,
  kind: z.enum(['printed', 'laminated']),
  /** Which printing of the output. */
  printing: z.number().int().positive(),
  panelLabels: z.array(z.string()),
});
export type UsedRoll = z.infer<typeof UsedRoll>;

/**
 * Lots of some panels as one line: `lot 7741, roll 12`, or where they differ
 * `LH-01 and LH-02: lot 7741, roll 12; LH-03: lot 7745, roll 2`. Empty where none was entered.
 */
function panelLotsText(
  used: readonly UsedRoll[],
  kind: UsedRoll['kind'],
  panelLabels: readonly string[],
  unitNumber: string | undefined,
): string {
  const isOf = (print: string, label: string) => {
    const of = panelOfPrint(print);
    return (
      of.panelLabel === label &&
      (unitNumber === undefined || of.unitNumber === undefined || of.unitNumber === unitNumber)
    );
  };
  const labelsOf = new Map<string, readonly string[]>();
  for (const roll of used) {
    if (roll.kind !== kind) continue;
    const text = lotText(roll);
    const before = labelsOf.get(text) ?? [];
    const labels = panelLabels.filter(
      (label) => before.includes(label) || roll.panelLabels.some((print) => isOf(print, label)),
    );
    if (labels.length > 0) labelsOf.set(text, labels);
  }
  const all = [...labelsOf];
  const isNamed = all.some(([, labels]) => labels.length < panelLabels.length);
  return all.map(([text, labels]) => (isNamed ? `${listText(labels)}: ${text}` : text)).join('; ');
}

/**
 * The record of an output with the lots of its panels or of one vehicle, where no other lots were entered: for each film,
 * and for each of its vehicles whose panels were entered by vehicle. Keeps REC1.
 */
export function recordWithLots(
  record: ProductionRecord | undefined,
  used: readonly UsedRoll[] | undefined,
  films: readonly FilmPanels[],
  unitNumber?: string,
): ProductionRecord | undefined {
  if (!used) return record;
  const byVehicle = used.map(ofVehicles);
  let told = record ?? {};
  for (const { filmId: id, panelLabels, unitNumbers } of films) {
    const filmId = id === FIRST_FILM_ID ? undefined : id;
    const lots = lotsOf(used, panelLabels, unitNumber);
    told =
      filmId === undefined
        ? { ...lots, ...told }
        : recordWithPart(told, { filmId }, { ...lots, ...recordPart(told, { filmId }) });
    for (const unit of unitNumbers) {
      const of = { filmId, unitNumber: unit };
      const ofUnit = lotsOf(byVehicle, panelLabels, unit);
      told = recordWithPart(told, of, { ...ofUnit, ...recordPart(told, of) });
    }
  }
  return told;
}

/** Without the prints that any vehicle takes. */
const ofVehicles = (roll: UsedRoll): UsedRoll => ({
  ...roll,
  panelLabels: roll.panelLabels.filter((print) => panelOfPrint(print).unitNumber !== undefined),
});

function lotsOf(
  used: readonly UsedRoll[],
  panelLabels: readonly string[],
  unitNumber: string | undefined,
): Pick<ProductionRecord, 'filmLot' | 'laminateLot'> {
  const [filmLot, laminateLot] = [
    panelLotsText(used, 'printed', panelLabels, unitNumber),
    panelLotsText(used, 'laminated', panelLabels, unitNumber),
  ];
  return { ...(filmLot !== '' && { filmLot }), ...(laminateLot !== '' && { laminateLot }) };
}
