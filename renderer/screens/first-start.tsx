/** Four questions on one page, once, before the first job. The answers can be changed in the settings of the shop. */
import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import { Button } from '../parts/button.tsx';
import { changeShop, isFirstStartOver, shopProfile } from '../state/shop.ts';
import {
  LongestLengths,
  NameAndLogo,
  RollWidths,
  type SetShop,
  shopChanged,
  UnitsAndSides,
} from './shop-fields.tsx';

export function FirstStart() {
  const [shop, setShop] = useState(shopProfile.value);
  const set: SetShop = (change) => {
    const next = shopChanged(shop, change);
    if ('problem' in next) return next.problem;
    setShop(next.shop);
    return undefined;
  };
  const end = async (kept: Partial<typeof shop>) => {
    await changeShop(kept);
    // A read-only archive could not keep the answers, so it asks nothing.
    isFirstStartOver.value = true;
  };
  return (
    <form
      class="page first-start"
      onSubmit={(event) => {
        event.preventDefault();
        void end(shop);
      }}
    >
      <h1>Set up your shop</h1>
      <p>
        Four questions, then the jobs. Each has an answer already, by the language of this machine, and can be
        changed under Shop later.
      </p>
      <Question number={1} title="Units and side names">
        <UnitsAndSides shop={shop} set={set} />
      </Question>
      <Question number={2} title="Roll widths">
        <RollWidths key={shop.displayUnit} shop={shop} set={set} at={0} />
      </Question>
      <Question number={3} title="Longest print and longest panel">
        <LongestLengths key={shop.displayUnit} shop={shop} set={set} />
      </Question>
      <Question number={4} title="Name and logo">
        <NameAndLogo shop={shop} set={set} />
      </Question>
      <div class="buttons first-start-foot">
        <Button isSubmit isPrimary>
          Save and go to the jobs
        </Button>
        <Button onClick={() => end({})}>Skip</Button>
      </div>
    </form>
  );
}

function Question({
  number,
  title,
  children,
}: {
  readonly number: number;
  readonly title: string;
  readonly children: ComponentChildren;
}) {
  return (
    <section class="fields">
      <h2>
        {number}. {title}
      </h2>
      {children}
    </section>
  );
}
