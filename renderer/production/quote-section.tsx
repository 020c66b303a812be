/** What the customer is asked for, by the estimates of the job, and the prices behind it. */
import { jobSet } from '../../core/job/edits/edits.ts';
import type { Job } from '../../core/job/schema.ts';
import type { JobEstimates } from '../../core/production/estimate.ts';
import { jobQuote, priceText } from '../../core/production/quote.ts';
import type { ShopFigures } from '../../core/shop/shop-figures.ts';
import { Facts, Section } from '../parts/section.tsx';
import { editJob } from '../state/open-job.ts';
import { PriceFields } from './price-fields.tsx';

interface QuoteSectionProps {
  readonly job: Job;
  /** Of all films; absent while they are worked out. */
  readonly estimates: JobEstimates | undefined;
  readonly figures: ShopFigures;
}

export function QuoteSection({ job, estimates, figures }: QuoteSectionProps) {
  const quote = estimates && jobQuote(job, estimates, figures.laborPerHour);
  const money = (inCents: number) => priceText(inCents, figures.currency);
  return (
    <Section title="Quote">
      {quote && (
        <Facts
          rows={[
            ...quote.lines.map(({ name, likely }) => [name, money(likely)] as const),
            ['Total, likely', `≈ ${money(quote.total.likely)}`],
            ['At the least, at the most', `${money(quote.total.low)} to ${money(quote.total.high)}`],
            ['Own cost, not on the quote', `≈ ${money(quote.ownCost)}`],
          ]}
        />
      )}
      <p class="quiet">The sheet for the customer is under Sheets.</p>
      <details>
        <summary>Prices of this job</summary>
        <PriceFields
          prices={job.prices}
          currency={figures.currency}
          set={(prices) =>
            editJob('Change the prices', (now) => jobSet(now, { change: { prices } }), { isQuiet: true })
              ?.message
          }
        />
        <label class="check">
          <input
            type="checkbox"
            checked={job.sheets?.quote?.range ?? true}
            onChange={(event) => setQuote({ range: event.currentTarget.checked })}
          />
          The quote prints the least and the most
        </label>
        <label class="check">
          <input
            type="checkbox"
            checked={job.sheets?.quote?.cost ?? false}
            onChange={(event) => setQuote({ cost: event.currentTarget.checked })}
          />
          The quote prints our own cost, for the shop alone
        </label>
      </details>
    </Section>
  );
}

function setQuote(change: { readonly range?: boolean; readonly cost?: boolean }): void {
  editJob('Change what the quote prints', (now) =>
    jobSet(now, { change: { sheets: { ...now.sheets, quote: { ...now.sheets?.quote, ...change } } } }),
  );
}
