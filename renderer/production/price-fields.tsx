/** What the shop asks of its customers: fields for a job and for the settings of the shop. */
import { ESTIMATED_PRICES, type Prices, type QuoteExtra } from '../../core/shop/prices.ts';
import { Button } from '../parts/button.tsx';
import { TextField } from '../parts/field.tsx';
import { NumberField } from '../parts/number-field.tsx';

interface PriceFieldsProps {
  readonly prices: Prices | undefined;
  readonly currency: string;
  /** Returns the sentence why not. */
  set(prices: Prices): string | undefined;
}

const FIGURES = [
  ['shopPerHour', 'An hour in the shop', 2],
  ['installPerHour', 'An hour of installation', 2],
  ['materialMarkupPercent', 'Markup on material, %', 0],
  ['validDays', 'A quote is valid for, days', 0],
  ['hoursLessPercent', 'Hours may be less by, %', 0],
  ['hoursMorePercent', 'Hours may be more by, %', 0],
  ['materialLessPercent', 'Material may be less by, %', 0],
  ['materialMorePercent', 'Material may be more by, %', 0],
] as const satisfies readonly (readonly [keyof Prices, string, number])[];

export function PriceFields({ prices = ESTIMATED_PRICES, currency, set }: PriceFieldsProps) {
  const extras = prices.extras ?? [];
  const setExtras = (changed: readonly QuoteExtra[]) => set({ ...prices, extras: [...changed] });
  const setExtra = (index: number, change: Partial<QuoteExtra>) =>
    setExtras(extras.map((extra, at) => (at === index ? { ...extra, ...change } : extra)));
  return (
    <>
      <p class="quiet">
        {prices.isEstimate
          ? 'Guesses from common practice. Until the shop has its own, a quote says that it is a draft.'
          : 'Your shop’s own prices.'}{' '}
        Money is in {currency}.
      </p>
      <label class="check">
        <input
          type="checkbox"
          checked={!prices.isEstimate}
          onChange={(event) => set({ ...prices, isEstimate: !event.currentTarget.checked })}
        />
        These are prices of our shop
      </label>
      {FIGURES.map(([key, label, leastDecimals]) => (
        <NumberField
          key={key}
          label={label}
          value={prices[key]}
          leastDecimals={leastDecimals}
          onChange={(value) => set({ ...prices, [key]: value })}
        />
      ))}
      <TextField
        label="Taxes, as a quote says them"
        value={prices.tax}
        hint="Such as “plus 7 % sales tax”. Nothing is added to the total."
        onChange={(tax) => void set({ ...prices, tax: tax.trim() })}
      />
      {extras.map((extra, index) => (
        <fieldset key={index} class="extra">
          <legend>Extra {index + 1}</legend>
          <TextField
            label="What"
            value={extra.name}
            onChange={(name) => name.trim() !== '' && void setExtra(index, { name: name.trim() })}
          />
          <NumberField
            label="Amount"
            value={extra.amount}
            leastDecimals={2}
            onChange={(amount) => setExtra(index, { amount })}
          />
          <Button onClick={() => void setExtras(extras.filter((_, at) => at !== index))}>
            Remove {extra.name}
          </Button>
        </fieldset>
      ))}
      <Button onClick={() => void setExtras([...extras, { name: 'Design', amount: 0 }])}>Add an extra</Button>
    </>
  );
}
