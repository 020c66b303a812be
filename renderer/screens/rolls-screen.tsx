/** The rolls on the shelf: found by material, width, lot or the code on a label. */
import { useEffect, useState } from 'preact/hooks';
import { lengthText } from '../../core/measure/length-text.ts';
import { rollLengthText } from '../../core/measure/long-length.ts';
import { dateText } from '../../core/shop/date-text.ts';
import type { StockRoll } from '../../core/shop/stock-roll.ts';
import { isPastUseBy, materialKey, stockCode, stockNumberFromCode } from '../../core/shop/stock-text.ts';
import { STOCK_USE_NAMES, STOCK_USES, type StockUse } from '../../core/shop/stock-use.ts';
import { ask } from '../client/client.ts';
import { Button } from '../parts/button.tsx';
import { Field } from '../parts/field.tsx';
import { SelectField } from '../parts/select-field.tsx';
import { showDone, showProblem } from '../state/notices.ts';
import { saveRollLabels } from '../state/roll-labels.ts';
import { showScreen } from '../state/route.ts';
import { shopProfile } from '../state/shop.ts';
import { readStock, stockEntry, stockRolls } from '../state/stock.ts';
import { localToday, RollForm } from './roll-forms.tsx';
import { RollLedger } from './roll-ledger.tsx';

/** `roll`: the code of the one that is shown alone. */
export function RollsScreen({ roll }: { readonly roll: string | undefined }) {
  return <div class="jobs">{roll === undefined ? <RollList /> : <RollLedger key={roll} code={roll} />}</div>;
}

/** As many as a shop sticks on at once. */
const MOST_LABELS = 1000;

function RollList() {
  const [text, setText] = useState('');
  const [use, setUse] = useState<StockUse | ''>('');
  const [width, setWidth] = useState('');
  const [isAll, setAll] = useState(false);
  const [isReceiving, setReceiving] = useState(false);
  useEffect(() => void readStock(), []);
  const rolls = stockRolls.value;
  const { displayUnit: unit } = shopProfile.value;
  const widths = [...new Set((rolls ?? []).map(({ widthMm }) => lengthText(widthMm, unit)))].toSorted();
  const shown = (rolls ?? []).filter(
    (each) =>
      (isAll || each.leftMm !== 0) &&
      (use === '' || each.use === use) &&
      (width === '' || lengthText(each.widthMm, unit) === width) &&
      isMatch(each, text),
  );
  return (
    <>
      <div class="jobs-head">
        <h1>Rolls</h1>
        <Button isPrimary onClick={() => setReceiving(true)}>
          Receive a roll
        </Button>
        <Button
          isDisabled={shown.length === 0}
          title="Of the rolls in the list, on the label sheets of the shop"
          onClick={() => saveRollLabels(shown.map(({ id }) => id).slice(0, MOST_LABELS))}
        >
          Save labels
        </Button>
      </div>
      <search class="jobs-filters">
        <Field label="Search material, lot, roll, place, or the code on a label">
          {(ids) => (
            <input
              class="input"
              type="search"
              value={text}
              onInput={(event) => setText(event.currentTarget.value)}
              onKeyDown={(event) => {
                const number = stockNumberFromCode(event.currentTarget.value);
                if (event.key === 'Enter' && number !== undefined)
                  showScreen({ screen: 'rolls', roll: stockCode(number) });
              }}
              {...ids}
            />
          )}
        </Field>
        <SelectField<StockUse | ''>
          label="What it is"
          value={use}
          options={[
            { value: '', label: 'Any' },
            ...STOCK_USES.map((value) => ({ value, label: STOCK_USE_NAMES[value] })),
          ]}
          onChange={setUse}
        />
        <SelectField
          label="Width"
          value={width}
          options={[{ value: '', label: 'Any' }, ...widths.map((value) => ({ value, label: value }))]}
          onChange={setWidth}
        />
        <label class="check">
          <input type="checkbox" checked={isAll} onChange={(event) => setAll(event.currentTarget.checked)} />
          Used up too
        </label>
      </search>
      {rolls && (
        <p class="quiet" role="status">
          {shown.length} {shown.length === 1 ? 'roll' : 'rolls'}
        </p>
      )}
      {rolls?.length === 0 && (
        <div class="empty">
          <h2>No rolls yet</h2>
          <p>
            Receive the rolls that stand on the shelf, partial rolls too. Jobs then offer those that fit, and
            each printed output takes its length off.
          </p>
        </div>
      )}
      {shown.length > 0 && <RollTable rolls={shown} />}
      {isReceiving && (
        <RollForm
          title="Receive a roll"
          onKeep={async (facts, lengthMm) => {
            const received = await ask('stock:receive', { facts, lengthMm, ...stockEntry() });
            if (!received.ok) {
              showProblem(received.problem);
              return false;
            }
            showDone(
              `The roll is ${stockCode(received.value.number)}. Save its label, or write that on its core.`,
            );
            await readStock();
            return true;
          }}
          onClose={() => setReceiving(false)}
        />
      )}
    </>
  );
}

function isMatch(roll: StockRoll, text: string): boolean {
  if (stockNumberFromCode(text) === roll.number) return true;
  const said = materialKey(
    [roll.material, roll.lotNumber, roll.rollNumber, roll.place, stockCode(roll.number)].join(' '),
  );
  return materialKey(text)
    .split(' ')
    .every((word) => said.includes(word));
}

function RollTable({ rolls }: { readonly rolls: readonly StockRoll[] }) {
  const { displayUnit: unit, dateOrder } = shopProfile.value;
  const today = localToday();
  return (
    <table class="table">
      <thead>
        <tr>
          <th scope="col">Roll</th>
          <th scope="col">Material</th>
          <th scope="col">What it is</th>
          <th scope="col">Lot number</th>
          <th scope="col">Roll number</th>
          <th scope="col" class="number">
            Width
          </th>
          <th scope="col" class="number">
            Length left
          </th>
          <th scope="col">Place</th>
          <th scope="col">Use by</th>
        </tr>
      </thead>
      <tbody>
        {rolls.map((roll) => (
          <tr key={roll.id}>
            <th scope="row">
              <a href={`#/rolls/${stockCode(roll.number)}`}>{stockCode(roll.number)}</a>
            </th>
            <td>{roll.material}</td>
            <td>{STOCK_USE_NAMES[roll.use]}</td>
            <td>{roll.lotNumber || 'not known'}</td>
            <td>{roll.rollNumber}</td>
            <td class="number">{lengthText(roll.widthMm, unit)}</td>
            <td class="number">
              {rollLengthText(roll.leftMm, unit)}
              {roll.isPartial && ', partial'}
            </td>
            <td>{roll.place}</td>
            <td>
              {roll.useBy !== undefined && dateText(roll.useBy, dateOrder)}
              {isPastUseBy(roll, today) && <strong> past</strong>}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
