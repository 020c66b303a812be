import { PDFContext, PDFDict } from 'pdf-lib';
import { matrixProduct } from '../page/page-space.ts';
import { boxOverlap, boxTransformed, isBoxEmpty, UNIT_SQUARE } from './bounds.ts';
import { imageInfoFrom, inlineImageDict } from './image-info.ts';
import type { ImageInfo } from './painted.ts';
import { enterPatterns } from './pattern-walk.ts';
import { whenKnown, type XObjectInfo } from './resources.ts';
import type { OperatorTable, StreamWalk } from './stream-walk.ts';

/** External objects, inline images and shadings, ISO 32000-1, 8.7.4.2 to 8.10. */
export const XOBJECT_OPERATORS: OperatorTable = {
  Do: (at) => {
    const name = at.reader.name(at.reader.count - 1);
    if (name === undefined) return undefined;
    at.use('XObject', name);
    return whenKnown(at.resources.xobjects.get(name), (xobject) => {
      if (xobject === undefined) at.miss('XObject', name);
      else return paintXObject(at, xobject);
    });
  },
  BI: (at) => paintInlineImage(at),
  sh: (at) => {
    const name = at.reader.name(at.reader.count - 1);
    if (name === undefined) return undefined;
    at.use('Shading', name);
    return whenKnown(at.resources.shadings.get(name), (shading) => {
      if (shading === undefined) {
        at.miss('Shading', name);
        return;
      }
      const { ctm, clip } = at.state;
      const bounds = shading.box === undefined ? clip : boxOverlap(clip, boxTransformed(shading.box, ctm));
      at.walk.visitor.onPainted?.(
        at.painted('shading', bounds, {
          isFilled: true,
          shadingSpace: shading.space,
          shading: shading.object,
        }),
      );
    });
  },
};

async function paintXObject(at: StreamWalk, xobject: NonNullable<XObjectInfo>): Promise<void> {
  const isVisible = await at.isLayerVisible(xobject.layer);
  if (xobject.kind === 'image') await paintImage(at, xobject.image, 'image', isVisible);
  else await paintForm(at, xobject, isVisible);
}

async function paintImage(
  at: StreamWalk,
  image: ImageInfo,
  kind: 'image' | 'inline-image',
  isVisible: boolean,
): Promise<void> {
  const painted = at.painted(kind, boxTransformed(UNIT_SQUARE, at.state.ctm), {
    image,
    isVisible,
    isFilled: image.isStencil,
    object: image.stream,
    ref: image.ref,
  });
  at.walk.visitor.onPainted?.(painted);
  if (image.isStencil && at.state.fill.pattern !== undefined) await enterPatterns(at, painted);
}

async function paintForm(
  at: StreamWalk,
  { form, layer }: Extract<XObjectInfo, { kind: 'form' }>,
  isVisible: boolean,
): Promise<void> {
  const ctm = matrixProduct(form.matrix, at.state.ctm);
  const bounds = form.box === undefined ? at.state.clip : boxTransformed(form.box, ctm);
  const painted = at.painted('form', bounds, { isVisible, object: form.stream, ref: form.ref });
  const { visitor } = at.walk;
  visitor.onPainted?.(painted);
  if (visitor.entersForm?.(painted) === false) return;
  if (isBoxEmpty(boxOverlap(bounds, at.state.clip))) return;
  const state = form.isGroup ? at.state.forGroup() : at.state.copy();
  state.ctm = ctm;
  await at.walkNested(form, { kind: 'form', state, isVisible: painted.isVisible, layer });
  visitor.onFormLeft?.(painted);
}

const NO_CONTEXT = PDFContext.create();

async function paintInlineImage(at: StreamWalk): Promise<void> {
  const dict = inlineImageDict(at.reader, PDFDict.withContext(NO_CONTEXT));
  const image = await imageInfoFrom(dict, undefined, undefined, at.walk.objects, async (name) => {
    const space = await at.resources.spaces.get(name);
    if (space !== undefined) at.use('ColorSpace', name);
    return space;
  });
  await paintImage(at, image, 'inline-image', true);
}
