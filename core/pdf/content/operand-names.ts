/** Names among the operands of an operator, in any role and depth. */
import { PDFName } from 'pdf-lib';
import { latin1 } from '../file/syntax.ts';
import { OPERAND } from './operand.ts';
import type { OperationReader } from './operation-reader.ts';

const NESTED_NAME = /\/([^\0\t\n\f\r ()<>[\]{}/%]*)/g;
const NONE: readonly string[] = [];

/**
 * The names as written, without the slash. Strings in arrays are scanned too: a false name only keeps one resource too
 * many.
 */
export function operandNames(reader: OperationReader): readonly string[] {
  let names: string[] | undefined;
  for (let i = 0; i < reader.count; i += 1) {
    const kind = reader.kinds[i];
    if (kind !== OPERAND.name && kind !== OPERAND.array && kind !== OPERAND.dict) continue;
    names ??= [];
    const text = latin1(reader.written(i));
    if (kind === OPERAND.name) names.push(text.slice(1));
    else for (const [, name = ''] of text.matchAll(NESTED_NAME)) names.push(name);
  }
  return names ?? NONE;
}

/** PDFName.of undoes only escapes in capital letters. */
export const nameFromWritten = (text: string): PDFName =>
  PDFName.of(text.replace(/#[0-9a-fA-F]{2}/g, (code) => code.toUpperCase()));
