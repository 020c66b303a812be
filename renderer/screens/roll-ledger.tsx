/** A roll of the shelf with its ledger. */
import { useEffect, useState } from 'preact/hooks';
import type { ContractReply } from '../../core/contract/contract.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import { longLengthFormat, rollLengthText } from '../../core/measure/long-length.ts';
import { printsText } from '../../core/output/printed-panels.ts';
import { dateText } from '../../core/shop/date-text.ts';
import type { MovementKind, StockMovement } from '../../core/shop/stock-roll.ts';
import { isPastUseBy, lotText, stockCode } from '../../core/shop/stock-text.ts';
import { STOCK_USE_NAMES } from '../../core/shop/stock-use.ts';
import { ask } from '../client/client.ts';
import { Button } from '../parts/button.tsx';
import { PastTime } from '../parts/past-time.tsx';
import { showProblem } from '../state/notices.ts';
import { saveRollLabels } from '../state/roll-labels.ts';
import { shopProfile } from '../state/shop.ts';
import { enterAsking, readStock, stockEntry } from '../state/stock.ts';
import { LengthDialog, localToday, RollForm } from './roll-forms.tsx';

type Ledger = ContractReply<'stock:ledger'>;
type Act = 'correct' | 'scrap' | 'change';

/** `code`: as its label shows it. */
export function RollLedger({ code }: { readonly code: string }) {
  const [ledger, setLedger] = useState<Ledger>();
  const [act, setAct] = useState<Act>();
  const read = async () => {
    const found = await ask('stock:ledger', { roll: code });
    if (found.ok) setLedger(found.value);
    else showProblem(found.problem);
    await readStock();
  };
  useEffect(() => void read(), [code]);
  if (!ledger) {
    return (
      <p class="quiet">
        <a href="#/rolls">All rolls</a>
      </p>
    );
  }
  const { roll, movements } = ledger;
  const { displayUnit: unit, dateOrder } = shopProfile.value;
  const name = stockCode(roll.number);
  /** Whether it was entered, after which the ledger is read again. */
  const entered = async (isEntered: boolean): Promise<boolean> => {
    if (isEntered) await read();
    return isEntered;
  };
  const asked = async (answer: { readonly ok: boolean }): Promise<boolean> => {
    if ('problem' in answer) showProblem(answer.problem as Parameters<typeof showProblem>[0]);
    return await entered(answer.ok);
  };
  const close = () => setAct(undefined);
  return (
    <section class="roll-ledger" aria-labelledby="roll-name">
      <p>
        <a href="#/rolls">All rolls</a>
      </p>
      <div class="jobs-head">
        <h1 id="roll-name">
          {name} {roll.material}
        </h1>
        <Button onClick={() => setAct('correct')}>Correct the length</Button>
        <Button onClick={() => setAct('scrap')}>Scrap film</Button>
        <Button onClick={() => setAct('change')}>Change what is known</Button>
        <Button onClick={() => saveRollLabels([roll.id])}>Save its label</Button>
      </div>
      <p class="roll-left">
        <strong>{rollLengthText(roll.leftMm, unit)} left</strong>,{' '}
        {roll.isPartial ? 'partial roll' : 'as received'}, {STOCK_USE_NAMES[roll.use]}, {lotText(roll)},{' '}
        {lengthText(roll.widthMm, unit)} wide
      </p>
      <p>
        Received on {dateText(roll.receivedOn, dateOrder)}
        {roll.place !== '' && `, at ${roll.place}`}
        {roll.useBy !== undefined && `, use by ${dateText(roll.useBy, dateOrder)}`}
      </p>
      {isPastUseBy(roll, localToday()) && (
        <p class="field-problem">This roll is past its use by date. Ask its maker before you print on it.</p>
      )}
      {roll.leftMm < 0 && (
        <p class="field-problem">
          More was taken off this roll than it had. Measure what is left and correct the length.
        </p>
      )}
      <h2>Ledger</h2>
      <table class="table">
        <thead>
          <tr>
            <th scope="col">When</th>
            <th scope="col">What</th>
            <th scope="col" class="number">
              Length
            </th>
            <th scope="col">Entered by</th>
            <th scope="col">Note</th>
            <th scope="col">
              <span class="screen-reader-only">Undo</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {movements.map((movement) => (
            <tr key={movement.id}>
              <td>
                <PastTime at={movement.at} />
              </td>
              <td>{MOVEMENT_NAMES[movement.kind]}</td>
              <td class="number">{movement.deltaMm === 0 ? '' : signedLength(movement.deltaMm, unit)}</td>
              <td>{movement.by}</td>
              <td>{movementText(movement, movements)}</td>
              <td>
                {canUndo(movement) && (
                  <Button
                    title="Enters a counter-entry; this entry stays"
                    spoken={`Undo ${MOVEMENT_NAMES[movement.kind].toLowerCase()} ${signedLength(movement.deltaMm, unit)}`}
                    onClick={async () =>
                      void (await entered(
                        await enterAsking('stock:undo', {
                          movementId: movement.id,
                          note: '',
                          ...stockEntry(),
                        }),
                      ))
                    }
                  >
                    Undo
                  </Button>
                )}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      {act === 'correct' && (
        <LengthDialog
          title={`Correct the length of ${name}`}
          label="Length that is left, as measured"
          act="Correct"
          onKeep={async (countedMm, note) =>
            await asked(await ask('stock:correct', { rollId: roll.id, countedMm, note, ...stockEntry() }))
          }
          onClose={close}
        />
      )}
      {act === 'scrap' && (
        <LengthDialog
          title={`Scrap film of ${name}`}
          label="Length that was scrapped"
          act="Scrap"
          onKeep={async (lengthMm, note) =>
            await entered(
              await enterAsking('stock:scrap', { rollId: roll.id, lengthMm, note, ...stockEntry() }),
            )
          }
          onClose={close}
        />
      )}
      {act === 'change' && (
        <RollForm
          title={`Change what is known of ${name}`}
          roll={roll}
          onKeep={async (facts) =>
            await asked(await ask('stock:change', { rollId: roll.id, facts, ...stockEntry() }))
          }
          onClose={close}
        />
      )}
    </section>
  );
}

const MOVEMENT_NAMES: Readonly<Record<MovementKind, string>> = {
  received: 'Received',
  printed: 'Printed',
  laminated: 'Laminated',
  corrected: 'Corrected',
  scrapped: 'Scrapped',
  changed: 'Changed',
  undone: 'Counter-entry',
};

const canUndo = ({ kind, undoneBy }: StockMovement): boolean =>
  undoneBy === undefined && kind !== 'undone' && kind !== 'changed';

const signedLength = (mm: number, unit: 'mm' | 'in'): string =>
  `${mm > 0 ? '+' : ''}${lengthText(mm, longLengthFormat(unit))}`;

function movementText(
  { output, note, undoes, undoneBy }: StockMovement,
  movements: readonly StockMovement[],
): string {
  const undone = movements.find(({ id }) => id === undoes);
  return [
    output &&
      `Output ${output.number} of ${output.jobNumber}${output.printing > 1 ? `, print ${output.printing}` : ''}${output.panelLabels.length > 0 ? `: ${printsText(output.panelLabels)}` : ''}`,
    undone && `undoes ${MOVEMENT_NAMES[undone.kind].toLowerCase()}`,
    undoneBy !== undefined && 'undone by a counter-entry',
    note,
  ]
    .filter(Boolean)
    .join('; ');
}
