import { bytesJoined } from '../file/byte-stream.ts';
import { asciiBytes } from '../page/ascii-bytes.ts';
import { OperationReader, operatorCode } from './operation-reader.ts';

export interface BalancedContent {
  /** The same bytes where nothing had to change. */
  readonly bytes: Uint8Array;
  readonly isChanged: boolean;
}

const SPACE = 32;
const PAUSE_OPERATIONS = 1 << 14;
/** The operators that pair. */
export const SAVE = operatorCode('q');
export const RESTORE = operatorCode('Q');
export const MARK = operatorCode('BMC');
export const MARK_WITH = operatorCode('BDC');
export const MARK_END = operatorCode('EMC');
export const TEXT = operatorCode('BT');
export const TEXT_END = operatorCode('ET');

/**
 * Returns content in which every `q` has its `Q` and every marked-content sequence its end, as a form XObject needs. On
 * a page, readers end what is still open and ignore an extra `Q` or `EMC`. Inside a form, an extra `Q` would undo the
 * state of the calling content, so extra operators are blanked and missing ones added, which paints the same. `pause`
 * is called every few milliseconds of work.
 */
export async function contentBalanced(
  content: Uint8Array,
  pause?: () => Promise<void>,
): Promise<BalancedContent> {
  const surplus: { readonly at: number; readonly length: number }[] = [];
  let isInText = false;
  const open: ('Q' | 'EMC')[] = [];
  const close = (closer: 'Q' | 'EMC', at: number): void => {
    const last = open.lastIndexOf(closer);
    if (last < 0) surplus.push({ at, length: closer.length });
    else open.splice(last, 1);
  };
  const reader = new OperationReader();
  reader.push(content, true);
  let read = 0;
  while (reader.next() === 'operation') {
    if (pause && ++read % PAUSE_OPERATIONS === 0) await pause();
    const { operator } = reader;
    if (operator === SAVE) open.push('Q');
    else if (operator === RESTORE) close('Q', reader.operatorStart);
    else if (operator === MARK || operator === MARK_WITH) open.push('EMC');
    else if (operator === MARK_END) close('EMC', reader.operatorStart);
    else if (operator === TEXT) isInText = true;
    else if (operator === TEXT_END) isInText = false;
  }
  if (surplus.length === 0 && open.length === 0 && !isInText) return { bytes: content, isChanged: false };
  const kept = content.slice();
  for (const { at, length } of surplus) kept.fill(SPACE, at, at + length);
  const endings = [...(isInText ? ['ET'] : []), ...open.reverse()].join(' ');
  return { bytes: bytesJoined([kept, asciiBytes(endings)], asciiBytes('\n')), isChanged: true };
}
