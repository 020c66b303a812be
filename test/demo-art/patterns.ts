import type { PDFRef } from 'pdf-lib';
import type { Value } from './art-document.ts';
import { Canvas, type Matrix, type Paint, spotColorSpace } from './canvas.ts';
import type { Ink } from './palette.ts';
import type { XY } from './path.ts';

export interface Stop {
  /** 0 at the start, 1 at the end. */
  readonly at: number;
  readonly ink: Ink;
}

/** A gradient along a line, in finished mm. All stops are of one kind of ink. */
export function axialPaint(canvas: Canvas, name: string, from: XY, to: XY, stops: readonly Stop[]): Paint {
  return shadingPaint(canvas, name, 2, [...from, ...to], stops);
}

/** A gradient outward from a circle of `inner` to one of `outer` radius, both about `center`. */
export function radialPaint(
  canvas: Canvas,
  name: string,
  center: XY,
  inner: number,
  outer: number,
  stops: readonly Stop[],
): Paint {
  return shadingPaint(canvas, name, 3, [...center, inner, ...center, outer], stops);
}

function shadingPaint(
  canvas: Canvas,
  name: string,
  type: 2 | 3,
  coords: readonly number[],
  stops: readonly Stop[],
): Paint {
  const document = canvas.document;
  const spaces = { process: 'DeviceCMYK', gray: 'DeviceGray', spot: spotColorSpace(document) } as const;
  const ref = document.once(`shading ${name} ${canvas.matrix.join(' ')}`, () =>
    document.add({
      Type: 'Pattern',
      PatternType: 2,
      Matrix: [...canvas.matrix],
      Shading: {
        ShadingType: type,
        ColorSpace: spaces[stops[0]?.ink.kind ?? 'process'],
        Coords: [...coords],
        Function: stopsFunction(stops),
        Extend: [true, true],
      },
    }),
  );
  return { kind: 'pattern', name, ref };
}

/** One exponential function between each two stops, stitched where there are more. */
function stopsFunction(stops: readonly Stop[]): Value {
  const parts = stops.slice(1).map((stop, i) => ({
    FunctionType: 2,
    Domain: [0, 1],
    C0: inkParts(stops[i]?.ink ?? stop.ink),
    C1: inkParts(stop.ink),
    N: 1,
  }));
  const [only] = parts;
  if (parts.length === 1 && only) return only;
  return {
    FunctionType: 3,
    Domain: [0, 1],
    Functions: parts,
    Bounds: stops.slice(1, -1).map((stop) => stop.at),
    Encode: parts.flatMap(() => [0, 1]),
  };
}

function inkParts(ink: Ink): readonly number[] {
  if (ink.kind === 'spot') return [ink.tint / 100];
  if (ink.kind === 'gray') return [ink.level / 100];
  return [ink.c / 100, ink.m / 100, ink.y / 100, ink.k / 100];
}

/**
 * A motif repeated over a grid of `widthMm` × `heightMm`, the grid turned clockwise by `turn` degrees.
 * `draw` paints one cell, its origin at the cell's top left.
 */
export function tilingPaint(
  canvas: Canvas,
  name: string,
  widthMm: number,
  heightMm: number,
  turn: number,
  draw: (cell: Canvas) => void,
): Paint {
  const document = canvas.document;
  const ref = document.once(`tiling ${name} ${canvas.matrix.join(' ')}`, () => {
    // The cell is drawn in points, y up, as if it were a page of its own; the matrix turns and places it.
    const cell = new Canvas(document, { left: 0, bottom: 0, widthMm, heightMm, mirrored: false });
    draw(cell);
    const [right, top] = cell.point(widthMm, 0);
    return document.stream(
      {
        Type: 'Pattern',
        PatternType: 1,
        PaintType: 1,
        TilingType: 1,
        BBox: [0, 0, right, top],
        XStep: right,
        YStep: top,
        Matrix: turned(turn, canvas.point(0, 0)),
        Resources: cell.resources.entries(),
      },
      cell.content,
    );
  });
  return { kind: 'pattern', name, ref };
}

function turned(degrees: number, [x, y]: XY): Matrix {
  const angle = (-degrees * Math.PI) / 180;
  const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
  return [cos, sin, -sin, cos, x, y];
}

/**
 * A soft mask for a graphics state: what `draw` paints lets through as much as it is light.
 * Paint it in grays: black in process inks is not quite dark to every renderer. Unpainted is black, so hidden.
 */
export function luminosityMask(canvas: Canvas, name: string, draw: (mask: Canvas) => void): PDFRef {
  const document = canvas.document;
  return document.once(`mask ${name} ${canvas.matrix.join(' ')}`, () => {
    const mask = new Canvas(document, canvas.frame);
    draw(mask);
    const { left, bottom, widthMm } = canvas.frame;
    const [right, top] = mask.upright.point(widthMm, 0);
    const margin = 60;
    const group = document.stream(
      {
        Type: 'XObject',
        Subtype: 'Form',
        BBox: [left - margin, bottom - margin, right + margin, top + margin],
        Group: { S: 'Transparency', CS: 'DeviceGray', I: true },
        Resources: mask.resources.entries(),
      },
      mask.content,
    );
    return document.add({ Type: 'Mask', S: 'Luminosity', G: group });
  });
}
