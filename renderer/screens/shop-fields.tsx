/** Fields of the shop that first start and settings share. */

import { shopInUnit } from '../../core/job/shop-defaults.ts';
import { type ShopPrinter, ShopProfile } from '../../core/job/shop-profile.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import { firstOf, itemAt } from '../../core/measure/present.ts';
import { widthsFromText } from '../layouts/roll-widths.ts';
import { Choice } from '../parts/choice.tsx';
import { Field, TextField } from '../parts/field.tsx';
import { LengthField } from '../parts/length-field.tsx';
import { useTyped } from '../parts/typed-text.ts';
import { LogoField } from './logo-field.tsx';

/** Changes the shop; returns the sentence why not. */
export type SetShop = (
  change: Partial<{ [K in keyof ShopProfile]: ShopProfile[K] | undefined }>,
) => string | undefined;

export interface ShopFieldsProps {
  readonly shop: ShopProfile;
  readonly set: SetShop;
}

/** What is changed by hand is checked before it is kept. */
export function shopChanged(
  shop: ShopProfile,
  change: Parameters<SetShop>[0],
): { readonly shop: ShopProfile } | { readonly problem: string } {
  const parts = Object.entries({ ...shop, ...change }).filter(([, part]) => part !== undefined);
  const checked = ShopProfile.safeParse(Object.fromEntries(parts));
  return checked.success ? { shop: checked.data } : { problem: 'This is more or less than any shop needs.' };
}

export function UnitsAndSides({ shop, set }: ShopFieldsProps) {
  return (
    <>
      <Choice
        label="Lengths"
        value={shop.displayUnit}
        options={[
          { value: 'in', label: 'Inches' },
          { value: 'mm', label: 'Millimeters' },
        ]}
        onChange={(unit) => void set(shopInUnit(shop, unit))}
      />
      <SideNameFields shop={shop} set={set} group="vehicle" title="Sides of a vehicle" />
      <SideNameFields shop={shop} set={set} group="trailer" title="Sides of a trailer or bus" />
    </>
  );
}

function SideNameFields({
  shop,
  set,
  group,
  title,
}: ShopFieldsProps & { readonly group: keyof ShopProfile['sideNames']; readonly title: string }) {
  const pair = shop.sideNames[group];
  const change = (side: 'left' | 'right', part: Partial<(typeof pair)['left']>) =>
    void set({ sideNames: { ...shop.sideNames, [group]: { ...pair, [side]: { ...pair[side], ...part } } } });
  return (
    <fieldset class="side-names">
      <legend>{title}</legend>
      {(['left', 'right'] as const).map((side) => (
        <div key={side} class="side-names-row">
          <TextField
            label={side === 'left' ? 'Left, facing forward' : 'Right, facing forward'}
            value={pair[side].name}
            onChange={(name) => change(side, { name })}
          />
          <TextField
            label={side === 'left' ? 'Code, left' : 'Code, right'}
            value={pair[side].code}
            onChange={(code) => change(side, { code: code.trim().toUpperCase() })}
          />
        </div>
      ))}
    </fieldset>
  );
}

export const printersChanged = (
  { printers }: ShopProfile,
  at: number,
  change: Partial<ShopPrinter>,
): Pick<ShopProfile, 'printers'> => ({
  printers: printers.map((printer, index) => (index === at ? { ...printer, ...change } : printer)),
});

export function RollWidths({ shop, set, at }: ShopFieldsProps & { readonly at: number }) {
  const { rollWidthsMm } = itemAt(shop.printers, at);
  const shown = rollWidthsMm.map((mm) => lengthText(mm, shop.displayUnit)).join('; ');
  const { problem, handlers } = useTyped(shown, (text) => {
    const widths = widthsFromText(text, shop.displayUnit);
    if (!widths.ok) return widths.problem.message;
    return widths.value.length === 0
      ? 'Enter at least one width.'
      : set(printersChanged(shop, at, { rollWidthsMm: [...widths.value] }));
  });
  return (
    <Field
      label="Roll widths"
      problem={problem}
      hint="Semicolons between them, the usual one first. New jobs begin with it, and layouts can use all."
    >
      {(ids) => <input class="input" {...handlers} {...ids} />}
    </Field>
  );
}

export function LongestLengths({ shop, set }: ShopFieldsProps) {
  return (
    <div class="pair">
      <LengthField
        label="Longest print"
        mm={firstOf(shop.printers).longestPrintMm}
        unit={shop.displayUnit}
        isRun
        onChange={(longestPrintMm) => set(printersChanged(shop, 0, { longestPrintMm }))}
      />
      <LengthField
        label="Longest panel that your crew installs"
        mm={shop.limits.longestPanelMm}
        unit={shop.displayUnit}
        isRun
        onChange={(longestPanelMm) => set({ limits: { ...shop.limits, longestPanelMm } })}
      />
    </div>
  );
}

export function NameAndLogo({ shop, set }: ShopFieldsProps) {
  return (
    <>
      <TextField
        label="Name of your shop"
        value={shop.name}
        onChange={(name) => void set({ name })}
        onInput={(name) => void set({ name })}
        hint="Printed on each sheet."
      />
      <LogoField logo={shop.logo} onChange={(logo) => void set({ logo })} />
    </>
  );
}
