import { PDFArray, PDFDict, PDFName, PDFStream } from 'pdf-lib';
import { arrayOf, boolOf, dictOf, nameOf, numberOf } from '../file/dict-values.ts';
import { type Matrix, matrixProduct } from '../page-space.ts';
import { EVERYWHERE } from './bounds.ts';
import { GraphicsState } from './graphics-state.ts';
import type { OperatorTable } from './operators.ts';
import { formInfoFrom, whenKnown } from './resources.ts';
import type { StreamWalk } from './stream-walk.ts';

/** General and special graphics state, ISO 32000-1, 8.4.4. */
export const STATE_OPERATORS: OperatorTable = {
  q: (at) => at.save(),
  Q: (at) => at.restore(),
  cm: (at) => {
    at.state.ctm = matrixProduct(operandMatrix(at), at.state.ctm);
  },
  w: (at) => {
    at.state.lineWidth = Math.abs(last(at));
  },
  J: (at) => {
    at.state.lineCap = last(at);
  },
  j: (at) => {
    at.state.lineJoin = last(at);
  },
  M: (at) => {
    at.state.miterLimit = last(at);
  },
  d: () => {},
  ri: () => {},
  i: () => {},
  gs: (at) => {
    const name = at.reader.name(at.reader.count - 1);
    if (name === undefined) return undefined;
    at.use('ExtGState', name);
    return whenKnown(at.resources.graphicsStates.get(name), (dict) => parametersSet(at, dict));
  },
};

const last = (at: StreamWalk): number => at.reader.number(at.reader.count - 1);

/** The last six operands as a matrix. */
export function operandMatrix({ reader }: StreamWalk): Matrix {
  const n = reader.count;
  if (n < 6) return [1, 0, 0, 1, 0, 0];
  return [
    reader.number(n - 6),
    reader.number(n - 5),
    reader.number(n - 4),
    reader.number(n - 3),
    reader.number(n - 2),
    reader.number(n - 1),
  ];
}

/** Sets what a graphics state parameter dictionary holds, Table 58. Direct values are set without waiting. */
function parametersSet(at: StreamWalk, dict: PDFDict | undefined): void | Promise<void> {
  if (dict === undefined) return undefined;
  const isIndirect = PARAMETERS_BY_REFERENCE.some((key) => dict.has(key));
  simpleParametersSet(at.state, dict);
  return isIndirect ? otherParametersSet(at, dict) : undefined;
}

const key = (name: string): PDFName => PDFName.of(name);
const PARAMETERS_BY_REFERENCE = ['SMask', 'Font', 'BM'].map(key);

function simpleParametersSet(state: GraphicsState, dict: PDFDict): void {
  const number = (name: string) => numberOf(dict.get(key(name)));
  state.lineWidth = number('LW') ?? state.lineWidth;
  state.lineCap = number('LC') ?? state.lineCap;
  state.lineJoin = number('LJ') ?? state.lineJoin;
  state.miterLimit = number('ML') ?? state.miterLimit;
  state.strokeAlpha = number('CA') ?? state.strokeAlpha;
  state.fillAlpha = number('ca') ?? state.fillAlpha;
  state.overprintMode = number('OPM') ?? state.overprintMode;
  const strokeOverprint = boolOf(dict.get(key('OP')));
  state.isStrokeOverprint = strokeOverprint ?? state.isStrokeOverprint;
  // OP alone sets both.
  state.isFillOverprint = boolOf(dict.get(key('op'))) ?? strokeOverprint ?? state.isFillOverprint;
}

async function otherParametersSet(at: StreamWalk, dict: PDFDict): Promise<void> {
  const { walk, state } = at;
  const get = (name: string) => walk.objects.resolved(dict.get(key(name)));
  const blend = await get('BM');
  const mode = nameOf(blend) ?? nameOf(arrayOf(blend)?.asArray()[0]);
  state.blendMode = mode ?? state.blendMode;
  const font = await get('Font');
  if (font instanceof PDFArray && font.size() >= 2) {
    const fontDict = dictOf(await walk.objects.resolved(font.get(0)));
    state.font = fontDict === undefined ? undefined : await walk.fontOf(fontDict);
    state.fontSize = numberOf(await walk.objects.resolved(font.get(1))) ?? 0;
  }
  const mask = await get('SMask');
  if (mask instanceof PDFDict) {
    state.softMask = { dict: mask, ctm: state.ctm };
    await softMaskEntered(at, mask);
  } else if (mask !== undefined) {
    state.softMask = undefined;
  }
}

async function softMaskEntered(at: StreamWalk, mask: PDFDict): Promise<void> {
  const { walk, state } = at;
  if (!walk.visitor.entersSoftMasks) return;
  const entry = mask.get(key('G'));
  const group = await walk.objects.resolved(entry);
  if (!(group instanceof PDFStream) || !walk.isFirst(group, state.ctm)) return;
  const form = await formInfoFrom(group, undefined, walk.objects);
  const masked = new GraphicsState(matrixProduct(form.matrix, state.ctm), EVERYWHERE);
  await at.nested(form, { kind: 'soft-mask', state: masked, isVisible: at.isVisible });
}
