/** The quiet way from a term on a screen to its entry in the glossary. */
import { signal } from '@preact/signals';
import type { ComponentChildren } from 'preact';
import { useId, useState } from 'preact/hooks';
import { glossaryEntry, glossaryText, type TermId, termOfLabel } from '../../core/words/glossary.ts';

/** Units of the open job, else of the shop. */
export const glossaryUnit = signal<'mm' | 'in'>('in');

interface TermProps {
  readonly id: TermId;
  /** The term as shown on the screen; without it, a small sign is shown beside a label. */
  readonly children?: ComponentChildren;
}

/** A button that opens the entry beside it; Escape and a press elsewhere close it. */
export function Term({ id, children }: TermProps) {
  const key = useId();
  const [isOpen, setOpen] = useState(false);
  const entry = glossaryEntry(id);
  return (
    <>
      <button type="button" class={children ? 'term is-text' : 'term'} popovertarget={key}>
        {children ?? (
          <>
            <span aria-hidden="true">?</span>
            <span class="screen-reader-only">Glossary: {entry.term}</span>
          </>
        )}
      </button>
      <div
        id={key}
        class="term-card"
        popover="auto"
        aria-live="polite"
        onToggle={(event) => setOpen(event.newState === 'open')}
      >
        {isOpen && (
          <>
            <strong>{entry.term}</strong>
            <p>{glossaryText(entry, glossaryUnit.value)}</p>
            <a href={`#/glossary/${id}`}>Open the glossary</a>
          </>
        )}
      </div>
    </>
  );
}

/** A head of a table or a word beside a figure: itself the way to its entry, where it has one. */
export function TermText({ children }: { readonly children: string }) {
  const id = termOfLabel(children);
  return id ? <Term id={id}>{children}</Term> : children;
}

/** The sign beside a label that has an entry. */
export function TermSign({ label }: { readonly label: string }) {
  const id = termOfLabel(label);
  return id ? <Term id={id} /> : null;
}
