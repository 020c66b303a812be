/** All operators of content, ISO 32000-1, Annex A, by what they do here. */
import { operatorCode } from './operation-reader.ts';
import { COLOUR_OPERATORS } from './operators-colour.ts';
import { MARKED_OPERATORS } from './operators-marked.ts';
import { PATH_OPERATORS } from './operators-path.ts';
import { STATE_OPERATORS } from './operators-state.ts';
import { TEXT_OPERATORS } from './operators-text.ts';
import { XOBJECT_OPERATORS } from './operators-xobject.ts';
import type { StreamWalk } from './stream-walk.ts';

/** What an operator does to the walk; it may have to wait for something from the file. */
export type OperatorAction = (at: StreamWalk) => void | Promise<void>;
export type OperatorTable = Readonly<Record<string, OperatorAction>>;

export interface Operator {
  readonly name: string;
  readonly run: OperatorAction;
  /** Whether it builds or paints a path; anything else between these ties the path to its surroundings. */
  readonly isOfPath: boolean;
}

function table(...groups: readonly OperatorTable[]): ReadonlyMap<number, Operator> {
  const operators = new Map<number, Operator>();
  for (const group of groups) {
    for (const [name, run] of Object.entries(group)) {
      operators.set(operatorCode(name), { name, run, isOfPath: group === PATH_OPERATORS });
    }
  }
  return operators;
}

export const OPERATORS = table(
  STATE_OPERATORS,
  PATH_OPERATORS,
  COLOUR_OPERATORS,
  TEXT_OPERATORS,
  XOBJECT_OPERATORS,
  MARKED_OPERATORS,
);
