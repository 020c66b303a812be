/** What is on a side, by name: a way to each line, area and door that needs no pointer. */
import { ITEM_LISTS, sideItems } from '../../../core/job/edits/edits.ts';
import type { Side } from '../../../core/job/schema.ts';
import { Button } from '../../parts/button.tsx';
import { Section } from '../../parts/section.tsx';
import { selection } from '../bench-state.ts';

export function SideItems({ side }: { readonly side: Side }) {
  const items = ITEM_LISTS.flatMap((list) =>
    sideItems(side, list).flatMap((item) => ('name' in item ? [{ list, id: item.id, name: item.name }] : [])),
  );
  if (items.length === 0) return null;
  return (
    <Section title="On the vehicle">
      <div class="buttons">
        {items.map(({ list, id, name }) => (
          <Button
            key={id}
            onClick={() => {
              selection.value = { kind: 'item', sideId: side.id, list, itemId: id };
            }}
          >
            {name}
          </Button>
        ))}
      </div>
    </Section>
  );
}
