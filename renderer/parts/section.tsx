import type { ComponentChildren } from 'preact';
import { TermText } from './term.tsx';

interface SectionProps {
  readonly title: string;
  /** Of which one of several, such as a film's `B`. */
  readonly of?: string | undefined;
  readonly children: ComponentChildren;
}

/** A heading with the fields under it. */
export function Section({ title, of, children }: SectionProps) {
  return (
    <section class="fields">
      <h2>
        <TermText>{title}</TermText>
        {of !== undefined && ` · ${of}`}
      </h2>
      {children}
    </section>
  );
}

/** Facts as pairs of word and figure. */
export function Facts({ rows }: { readonly rows: readonly (readonly [string, string])[] }) {
  return (
    <dl class="facts">
      {rows.map(([word, figure]) => (
        <div key={word} class="facts-row">
          <dt>
            <TermText>{word}</TermText>
          </dt>
          <dd>{figure}</dd>
        </div>
      ))}
    </dl>
  );
}
