import { present } from '../../core/measure/present.ts';

/** The element that a part has drawn: effects and handlers of the part run only while it is on the page. */
export const elementOf = <T>(ref: { readonly current: T | null }): T =>
  present(ref.current, 'An element of the page');

/** What a canvas is painted with; every browser that runs the screens has it. */
export function painterOf(canvas: HTMLCanvasElement): CanvasRenderingContext2D;
export function painterOf(canvas: OffscreenCanvas): OffscreenCanvasRenderingContext2D;
export function painterOf(canvas: HTMLCanvasElement | OffscreenCanvas) {
  return present(canvas.getContext('2d'), 'The painter of a canvas');
}
