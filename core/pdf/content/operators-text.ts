import { type Matrix, matrixProduct } from '../page/page-space.ts';
import { IDENTITY } from './bounds.ts';
import { OPERAND } from './operand.ts';
import { OperationReader } from './operation-reader.ts';
import { operandMatrix } from './operators-state.ts';
import { whenKnown } from './resources.ts';
import type { OperatorTable, StreamWalk } from './stream-walk.ts';
import { showText, type TextPiece } from './text-show.ts';

/** Text, ISO 32000-1, 9.3 and 9.4. */
export const TEXT_OPERATORS: OperatorTable = {
  BT: (at) => {
    at.textMatrix = IDENTITY;
    at.lineMatrix = IDENTITY;
  },
  ET: () => {},
  Tc: (at) => {
    at.state.charSpace = last(at);
  },
  Tw: (at) => {
    at.state.wordSpace = last(at);
  },
  Tz: (at) => {
    at.state.widthScale = last(at) / 100;
  },
  TL: (at) => {
    at.state.leading = last(at);
  },
  Tr: (at) => {
    at.state.renderMode = last(at);
  },
  Ts: (at) => {
    at.state.rise = last(at);
  },
  Tf: (at) => {
    const { reader } = at;
    const name = reader.name(reader.count - 2);
    const size = last(at);
    if (name === undefined) return undefined;
    at.use('Font', name);
    return whenKnown(at.resources.fonts.get(name), (font) => {
      if (font === undefined) at.miss('Font', name);
      at.state.font = font;
      at.state.fontSetter = { level: at.level, start: at.start };
      at.state.fontSize = size;
    });
  },
  Td: (at) => moveLine(at, at.reader.number(at.reader.count - 2), last(at)),
  TD: (at) => {
    at.state.leading = -last(at);
    moveLine(at, at.reader.number(at.reader.count - 2), last(at));
  },
  Tm: (at) => {
    at.lineMatrix = operandMatrix(at);
    at.textMatrix = at.lineMatrix;
  },
  'T*': (at) => moveLine(at, 0, -at.state.leading),
  Tj: (at) => showText(at, pieces(at, at.reader.count - 1)),
  TJ: (at) => showText(at, pieces(at, at.reader.count - 1)),
  "'": (at) => {
    moveLine(at, 0, -at.state.leading);
    return showText(at, pieces(at, at.reader.count - 1));
  },
  '"': (at) => {
    const { reader } = at;
    at.state.wordSpace = reader.number(reader.count - 3);
    at.state.charSpace = reader.number(reader.count - 2);
    moveLine(at, 0, -at.state.leading);
    return showText(at, pieces(at, reader.count - 1));
  },
  // Type 3 fonts state their glyph metrics in the font too.
  d0: () => {},
  d1: () => {},
};

const last = (at: StreamWalk): number => at.reader.number(at.reader.count - 1);

function moveLine(at: StreamWalk, x: number, y: number): void {
  const move: Matrix = [1, 0, 0, 1, x, y];
  at.lineMatrix = matrixProduct(move, at.lineMatrix);
  at.textMatrix = at.lineMatrix;
}

/** The strings and shifts of a show operator's operand. */
function pieces({ reader }: StreamWalk, i: number): TextPiece[] {
  if (i < 0) return [];
  if (reader.kinds[i] !== OPERAND.array) {
    const string = reader.string(i);
    return string === undefined ? [] : [string];
  }
  const found: TextPiece[] = [];
  const inside = reader.written(i).subarray(1);
  const items = new OperationReader();
  items.push(inside, true);
  // The closing bracket, and stray words in broken files, each end an operation inside the array.
  for (;;) {
    const status = items.next();
    for (let n = 0; n < items.count; n++) {
      const item = items.isNumber(n) ? items.number(n) : items.string(n);
      if (item !== undefined) found.push(item);
    }
    if (status !== 'operation') return found;
  }
}
