import type { ComponentChildren } from 'preact';
import { TermText } from './term.tsx';

/** A heading with the fields under it. */
export function Section({
  title,
  children,
}: {
  readonly title: string;
  readonly children: ComponentChildren;
}) {
  return (
    <section class="fields">
      <h2>
        <TermText>{title}</TermText>
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
