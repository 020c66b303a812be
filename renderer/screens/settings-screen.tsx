/** The shop's settings for new jobs. Existing jobs keep theirs and show the differences. */
import { jobEmpty } from '../../core/job/defaults.ts';
import { profileWith, type ShopPrinter } from '../../core/job/shop-profile.ts';
import { firstOf } from '../../core/measure/present.ts';
import { ArtworkLimitFields } from '../bench/inspector/artwork-limits.tsx';
import { FilmSection, Laminate, PERFORATED, PrinterFigures } from '../bench/inspector/film-fields.tsx';
import type { JobFieldsProps, SetJob } from '../bench/inspector/job-fields.ts';
import { AllowanceSection, Limits, OutputSection } from '../bench/inspector/job-inspector.tsx';
import { Button } from '../parts/button.tsx';
import { TextField } from '../parts/field.tsx';
import { Section } from '../parts/section.tsx';
import { SelectField } from '../parts/select-field.tsx';
import { changeShop, shopProfile } from '../state/shop.ts';
import { ArchivePlace } from './archive-place.tsx';
import {
  LongestLengths,
  NameAndLogo,
  printersChanged,
  RollWidths,
  type SetShop,
  type ShopFieldsProps,
  shopChanged,
  UnitsAndSides,
} from './shop-fields.tsx';
import { ShopCosts, ShopHours } from './shop-production.tsx';
import { ShopSheets } from './shop-sheets.tsx';

export function SettingsScreen() {
  const shop = shopProfile.value;
  const set: SetShop = (change) => {
    const next = shopChanged(shop, change);
    if ('problem' in next) return next.problem;
    void changeShop({ ...change, ...next.shop });
    return undefined;
  };
  // The fields are those of a job, so that a job and its shop cannot be set in two ways.
  const job = jobEmpty({ id: 'shop', number: '1', name: 'Shop', customer: 'Shop', date: '2000-01-01' }, shop);
  const setJob: SetJob = (_label, { laminate, ...change }) =>
    set(profileWith(shop, { ...change, ...(laminate !== undefined && { laminate }) }));
  const fields: JobFieldsProps = { job, set: setJob };
  return (
    <div class="page settings">
      <h1>Shop</h1>
      <p>New jobs begin with these settings. Jobs that exist keep theirs and say where they differ.</p>
      <div class="settings-columns">
        <Section title="Name">
          <NameAndLogo shop={shop} set={set} />
          <TextField
            label="Address"
            value={shop.address}
            isMultiline
            onChange={(address) => void set({ address })}
          />
          <TextField label="Phone" value={shop.phone} onChange={(phone) => void set({ phone })} />
          <TextField
            label="Prepared by"
            value={shop.preparedBy}
            onChange={(preparedBy) => void set({ preparedBy })}
          />
        </Section>
        <Section title="Units and sides">
          <UnitsAndSides shop={shop} set={set} />
          <SelectField
            label="Dates"
            value={shop.dateOrder}
            options={[
              { value: 'month-first', label: 'Nov 20, 2026' },
              { value: 'day-first', label: '20 Nov 2026' },
              { value: 'year-first', label: '2026-11-20' },
            ]}
            onChange={(dateOrder) => void set({ dateOrder })}
          />
          <TextField
            label="Currency"
            value={shop.production.figures.currency}
            onChange={(currency) =>
              void set({
                production: { ...shop.production, figures: { ...shop.production.figures, currency } },
              })
            }
          />
        </Section>
        <ShopSheets shop={shop} set={set} />
        {shop.printers.map((printer, at) => (
          <PrinterFields key={printer.name} shop={shop} set={set} printer={printer} at={at} />
        ))}
        <Section title="Lengths">
          <LongestLengths shop={shop} set={set} />
          <Button
            onClick={() =>
              void set({ printers: [...shop.printers, { ...firstOf(shop.printers), name: newName(shop) }] })
            }
          >
            Add a printer
          </Button>
        </Section>
        <FilmSection title="Film" film={job.film} glass={PERFORATED} set={(film) => setJob('', { film })} />
        <Laminate {...fields} />
        <OutputSection {...fields} />
        <AllowanceSection {...fields} />
        <Limits {...fields} />
        <ArtworkLimitFields job={job} set={(artworkLimits) => setJob('', { artworkLimits })} />
        <ShopCosts shop={shop} set={set} />
        <ShopHours shop={shop} set={set} />
        <ArchivePlace />
      </div>
    </div>
  );
}

function newName({ printers }: ShopFieldsProps['shop']): string {
  let number = printers.length + 1;
  while (printers.some(({ name }) => name === `Printer ${number}`)) number += 1;
  return `Printer ${number}`;
}

function PrinterFields({
  shop,
  set,
  printer,
  at,
}: ShopFieldsProps & { readonly printer: ShopPrinter; readonly at: number }) {
  const change = (part: Partial<ShopPrinter>) => set(printersChanged(shop, at, part));
  return (
    <Section title={at === 0 ? 'Printer of new jobs' : 'Another printer'}>
      <TextField label="Printer" value={printer.name} onChange={(name) => void change({ name })} />
      <RollWidths shop={shop} set={set} at={at} />
      <PrinterFigures
        printer={printer}
        unit={shop.displayUnit}
        isLongestElsewhere={at === 0}
        change={change}
      />
      {shop.printers.length > 1 && (
        <Button onClick={() => void set({ printers: shop.printers.filter((_, index) => index !== at) })}>
          Remove {printer.name}
        </Button>
      )}
    </Section>
  );
}
