/** Papers of the shop: their sizes, the pages of the install map, the labels. */
import type { Output, SheetSettings } from '../../core/job/schema.ts';
import { LabelSheetForm } from '../parts/label-sheet-form.tsx';
import { MapPageChoice } from '../parts/map-page-choice.tsx';
import { Section } from '../parts/section.tsx';
import { SelectField } from '../parts/select-field.tsx';
import { ProofChoice } from './proof-signing.tsx';
import type { ShopFieldsProps } from './shop-fields.tsx';

const PAPERS: readonly { readonly value: Output['mapSheet']; readonly label: string }[] = [
  { value: 'Letter', label: 'Letter, 8 1/2 × 11 in' },
  { value: 'Tabloid', label: 'Tabloid, 11 × 17 in' },
  { value: 'A4', label: 'A4' },
  { value: 'A3', label: 'A3' },
];
const AS_THE_MAP = 'as-map';
const SIZED_SHEETS = [
  { kind: 'ticket', label: 'Ticket' },
  { kind: 'packing-list', label: 'Packing list' },
  { kind: 'check-in', label: 'Check-in sheet' },
  { kind: 'quote', label: 'Quote' },
  { kind: 'proof', label: 'Customer proof' },
] as const;

export function ShopSheets({ shop, set }: ShopFieldsProps) {
  const sizes = shop.sheets?.sizes ?? {};
  const change = (sheets: SheetSettings) => void set({ sheets: { ...shop.sheets, ...sheets } });
  return (
    <Section title="Sheets">
      <SelectField
        label="Install map"
        value={shop.output.mapSheet}
        options={PAPERS}
        onChange={(mapSheet) => void set({ output: { ...shop.output, mapSheet } })}
      />
      {SIZED_SHEETS.map(({ kind, label }) => (
        <SelectField
          key={kind}
          label={label}
          value={sizes[kind] ?? AS_THE_MAP}
          options={[{ value: AS_THE_MAP, label: 'As the install map' }, ...PAPERS]}
          onChange={(paper) => {
            const { [kind]: _, ...others } = sizes;
            const changed = paper === AS_THE_MAP ? others : { ...others, [kind]: paper };
            change({ sizes: changed });
          }}
        />
      ))}
      <ProofChoice proof={shop.sheets?.proof} onChange={(proof) => change({ proof })} />
      <MapPageChoice sheets={shop.sheets} onChange={(_, pages) => change(pages)} />
      <LabelSheetForm
        labels={shop.sheets?.labels}
        unit={shop.displayUnit}
        onChange={(labels) => {
          const { labels: _, ...others } = shop.sheets ?? {};
          void set({ sheets: labels ? { ...others, labels } : others });
        }}
      />
    </Section>
  );
}
