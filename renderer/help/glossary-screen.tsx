import { useEffect, useRef, useState } from 'preact/hooks';
import {
  GLOSSARY,
  glossaryEntry,
  glossaryFound,
  glossaryText,
  type TermId,
} from '../../core/words/glossary.ts';
import { Field } from '../parts/field.tsx';
import { glossaryUnit } from '../parts/term.tsx';
import { addressFromRoute } from '../state/route.ts';

/** All terms, with a search; the one that the address names is marked and in sight. */
export function GlossaryScreen({ term }: { readonly term: TermId | undefined }) {
  const [typed, setTyped] = useState('');
  const sought = useRef<HTMLElement>(null);
  const unit = glossaryUnit.value;
  const entries = glossaryFound(typed, unit);
  useEffect(() => {
    sought.current?.scrollIntoView({ block: 'center' });
    sought.current?.focus();
  }, [term]);
  return (
    <div class="reading">
      <h1>Glossary</h1>
      <search>
        <Field label="Search the glossary">
          {(ids) => (
            <input
              class="input"
              type="search"
              value={typed}
              onInput={(event) => setTyped(event.currentTarget.value)}
              {...ids}
            />
          )}
        </Field>
      </search>
      <p class="quiet" role="status">
        {entries.length === GLOSSARY.length
          ? `${GLOSSARY.length} terms`
          : `${entries.length} of ${GLOSSARY.length} terms`}
      </p>
      <dl>
        {entries.map((entry) => (
          <div key={entry.id} {...(entry.id === term && { 'aria-current': 'true' as const })}>
            <dt {...(entry.id === term && { ref: sought, tabIndex: -1 })}>{entry.term}</dt>
            <dd>
              {glossaryText(entry, unit)}
              {entry.see.length > 0 && (
                <span class="see">
                  {entry.see.map((id) => (
                    <a
                      key={id}
                      href={addressFromRoute({ screen: 'glossary', term: id })}
                      onClick={() => setTyped('')}
                    >
                      {glossaryEntry(id).term}
                    </a>
                  ))}
                </span>
              )}
            </dd>
          </div>
        ))}
      </dl>
    </div>
  );
}
