import { type PDFDict, PDFName, PDFStream } from 'pdf-lib';
import { type Matrix, matrixProduct } from '../page/page-space.ts';
import { EVERYWHERE } from './bounds.ts';
import { GraphicsState } from './graphics-state.ts';
import { formInfoFrom, whenKnown } from './resources.ts';
import type { StateParameters } from './state-parameters.ts';
import type { OperatorTable, StreamWalk } from './stream-walk.ts';

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
    return whenKnown(at.resources.graphicsStates.get(name), (given) => {
      if (given === undefined) at.miss('ExtGState', name);
      else return setParameters(at, given);
    });
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

/** Sets the values of a graphics state parameter dictionary, Table 58. */
function setParameters(at: StreamWalk, given: StateParameters): void | Promise<void> {
  const { state } = at;
  state.lineWidth = given.lineWidth ?? state.lineWidth;
  state.lineCap = given.lineCap ?? state.lineCap;
  state.lineJoin = given.lineJoin ?? state.lineJoin;
  state.miterLimit = given.miterLimit ?? state.miterLimit;
  state.strokeAlpha = given.strokeAlpha ?? state.strokeAlpha;
  state.fillAlpha = given.fillAlpha ?? state.fillAlpha;
  state.overprintMode = given.overprintMode ?? state.overprintMode;
  state.isStrokeOverprint = given.isStrokeOverprint ?? state.isStrokeOverprint;
  state.isFillOverprint = given.isFillOverprint ?? state.isFillOverprint;
  state.blendMode = given.blendMode ?? state.blendMode;
  state.hasTransfer = given.hasTransfer ?? state.hasTransfer;
  state.hasHalftone = given.hasHalftone ?? state.hasHalftone;
  if (given.font !== undefined) {
    state.font = given.font;
    state.fontSetter = undefined;
    state.fontSize = given.fontSize;
  }
  if (given.softMask === 'none') state.softMask = undefined;
  else if (given.softMask !== undefined) {
    state.softMask = { dict: given.softMask, ctm: state.ctm };
    return enterSoftMask(at, given.softMask);
  }
  return undefined;
}

async function enterSoftMask(at: StreamWalk, mask: PDFDict): Promise<void> {
  const { walk, state } = at;
  if (!walk.visitor.entersSoftMasks) return;
  const entry = mask.get(PDFName.of('G'));
  const group = await walk.objects.resolved(entry);
  if (!(group instanceof PDFStream) || !walk.isFirst(group, state.ctm)) return;
  const form = await formInfoFrom(group, undefined, walk.objects);
  const masked = new GraphicsState(matrixProduct(form.matrix, state.ctm), EVERYWHERE);
  await at.walkNested(form, { kind: 'soft-mask', state: masked, isVisible: at.isVisible, area: state.clip });
}
