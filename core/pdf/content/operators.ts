/** All operators of content, ISO 32000-1, Annex A, and what this walk does for each. */
import { operatorCode } from './operation-reader.ts';
import { COLOR_OPERATORS } from './operators-color.ts';
import { MARKED_OPERATORS } from './operators-marked.ts';
import { PATH_OPERATORS } from './operators-path.ts';
import { STATE_OPERATORS } from './operators-state.ts';
import { TEXT_OPERATORS } from './operators-text.ts';
import { XOBJECT_OPERATORS } from './operators-xobject.ts';
import type { Operator, Operators, OperatorTable } from './stream-walk.ts';

function table(...groups: readonly OperatorTable[]): Operators {
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
  COLOR_OPERATORS,
  TEXT_OPERATORS,
  XOBJECT_OPERATORS,
  MARKED_OPERATORS,
);
