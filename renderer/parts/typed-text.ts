import { useState } from 'preact/hooks';
import { afterPress } from './after-press.ts';

interface Typed {
  readonly text: string;
  /** Why the text was not taken; empty until there is room to say it. */
  readonly problem?: string;
}

/**
 * Keeps the text of a field while it is edited: a redraw, such as when facts of the artwork arrive late, does not
 * overwrite a half-typed text. `take` receives the complete text and returns an error sentence where it cannot be used;
 * the text then stays for correction.
 */
export function useTyped(shown: string, take: (text: string) => string | undefined) {
  const [typed, setTyped] = useState<Typed>();
  return {
    problem: typed?.problem || undefined,
    /** For the input or text area itself. */
    handlers: {
      value: typed?.text ?? shown,
      onInput: ({ currentTarget }: TypedEvent) =>
        setTyped((before) => ({ ...before, text: currentTarget.value })),
      onChange: ({ currentTarget }: TypedEvent) => {
        const text = currentTarget.value;
        const problem = text === shown ? undefined : take(text);
        if (problem === undefined) return setTyped(undefined);
        // Leaving the field with the pointer: the sentence would push away what is being pressed.
        setTyped({ text, problem: '' });
        afterPress(() => setTyped((now) => (now?.text === text ? { text, problem } : now)));
      },
      onBlur: () => setTyped((before) => (before?.problem === undefined ? undefined : before)),
      onKeyDown: (event: KeyboardEvent) => {
        if (event.key === 'Escape') setTyped(undefined);
      },
    },
  };
}

interface TypedEvent {
  readonly currentTarget: { readonly value: string };
}
