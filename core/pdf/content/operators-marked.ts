import { PDFDict } from 'pdf-lib';
import { ObjectParser } from '../file/object-parser.ts';
import { OPERAND } from './operand.ts';
import type { OperatorTable, StreamWalk } from './stream-walk.ts';

/** Marked content, ISO 32000-1, 14.6. Only `/OC` matters, because it marks layers (8.11.3.2). */
export const MARKED_OPERATORS: OperatorTable = {
  BMC: (at) => at.beginMarked(true),
  BDC: (at) => {
    const { reader } = at;
    const n = reader.count;
    const name = reader.name(n - 1);
    if (name !== undefined) at.use('Properties', name);
    if (reader.name(n - 2) !== 'OC') return at.beginMarked(true);
    return beginLayer(at, name);
  },
  EMC: (at) => at.endMarked(),
  MP: () => {},
  DP: (at) => {
    const name = at.reader.name(at.reader.count - 1);
    if (name !== undefined && at.reader.count > 1) at.use('Properties', name);
  },
  BX: () => {},
  EX: () => {},
};

async function beginLayer(at: StreamWalk, name: string | undefined): Promise<void> {
  const { reader, walk } = at;
  const i = reader.count - 1;
  let membership = name === undefined ? undefined : await at.resources.properties.get(name);
  if (name === undefined && reader.kinds[i] === OPERAND.dict) {
    const context = at.resources.dict.context;
    membership = new ObjectParser(reader.written(i), context).object();
  }
  if (membership instanceof PDFDict) at.beginMarked(await walk.layers.isVisible(membership), membership);
  else at.beginMarked(true);
}
