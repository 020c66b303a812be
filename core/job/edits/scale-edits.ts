/** The scale of the drawing: entered, or derived from a length measured on the vehicle. */
import { decimalText } from '../../measure/length-text.ts';
import type { Point } from '../../measure/rect.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../../measure/result.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../../measure/units.ts';
import { type AreaShape, areaMapped } from '../area-shape.ts';
import { doorGapFrom } from '../door.ts';
import { regionWithJoints } from '../region.ts';
import type { BodyLine, Job, LineShape, Side, SideTemplate } from '../schema.ts';
import { type EditResult, editFinished } from './edit.ts';

/**
 * Sets the scale. Seams, lines and areas stay on the same spot of the artwork ('with-artwork', as they were
 * picked on the picture), or at the same distance from the edge of the vehicle ('keep', as they were measured
 * there). Overlaps, bleed and borders are widths of film and stay as they are.
 * Keeps SC1.
 */
export function scaleSet(
  job: Job,
  {
    scale,
    positions = 'with-artwork',
  }: { readonly scale: number; readonly positions?: 'with-artwork' | 'keep' },
): EditResult {
  const ratio = scale / job.scale;
  const sides = positions === 'keep' ? job.sides : job.sides.map((side) => sideEnlarged(side, ratio));
  return editFinished(job, { ...job, scale, sides });
}

function sideEnlarged(side: Side, ratio: number): Side {
  const enlarged = <T extends AreaShape>(items: T[]): T[] =>
    items.map((item) => areaMapped(item, ({ x, y }) => ({ x: x * ratio, y: y * ratio })));
  return {
    ...side,
    bodyLines: side.bodyLines.map((line) => lineEnlarged(line, ratio)),
    noSeamAreas: enlarged(side.noSeamAreas),
    ground: enlarged(side.ground),
    noFilmAreas: enlarged(side.noFilmAreas),
    ...(side.doors && {
      doors: side.doors.map((door) => ({
        ...door,
        gap: doorGapFrom((edge) => lineEnlarged(door.gap[edge], ratio)),
        ...(door.motion.kind === 'slides' && {
          motion: { ...door.motion, byMm: door.motion.byMm * ratio },
        }),
      })),
    }),
    ...(side.guides && { guides: side.guides.map((line) => ({ ...line, atMm: line.atMm * ratio })) }),
    ...(side.template && { template: templateEnlarged(side.template, ratio) }),
    layout: regionWithJoints(side.layout, (joint) => ({
      ...joint,
      atMm: joint.atMm * ratio,
      ...(joint.shape && { shape: shapeEnlarged(joint.shape, ratio) }),
    })),
  };
}

/** Aligned again with the new place of the artwork; a template without points moves with the artwork anyway. */
const templateEnlarged = ({ points, ...template }: SideTemplate, ratio: number): SideTemplate => ({
  ...template,
  ...(points && {
    points: points.map((point) => ({ ...point, xMm: point.xMm * ratio, yMm: point.yMm * ratio })),
  }),
});

const shapeEnlarged = (shape: LineShape, ratio: number): LineShape =>
  shape.map(({ alongMm, offMm }) => ({ alongMm: alongMm * ratio, offMm: offMm * ratio }));

function lineEnlarged<T extends Pick<BodyLine, 'atMm' | 'extent' | 'shape'>>(line: T, ratio: number): T {
  const { atMm, extent, shape } = line;
  return {
    ...line,
    atMm: atMm * ratio,
    ...(extent && { extent: { fromMm: extent.fromMm * ratio, toMm: extent.toMm * ratio } }),
    ...(shape && { shape: shapeEnlarged(shape, ratio) }),
  };
}

/** The scale that follows from a measured length. */
export interface ScaleReading {
  /** Measured ÷ drawn. */
  readonly scale: number;
  readonly drawnMm: Mm;
  /** Error of the present scale: +0.4 means that it makes the length 0.4 % too long. */
  readonly presentErrorPercent: number;
  /** The nearest whole scale, and its error. */
  readonly whole: { readonly scale: number; readonly errorPercent: number };
  /** One sentence for the screen. */
  readonly text: string;
}

/**
 * Finds the scale from two points on the drawing and their distance on the vehicle. Points 137 mm apart on
 * the page and 1374 mm on the vehicle give 1:10.0292; 1:10 would make that length 0.29 % too short.
 */
export function scaleFromMeasurement(
  job: Pick<Job, 'scale'>,
  measured: {
    readonly from: Point<'drawn'>;
    readonly to: Point<'drawn'>;
    readonly finishedMm: Mm;
  },
): Result<ScaleReading, Problem<'points-together' | 'measure-not-positive'>> {
  const drawnMm = Math.hypot(measured.to.x - measured.from.x, measured.to.y - measured.from.y);
  if (!(drawnMm > LENGTH_TOLERANCE_MM && Number.isFinite(drawnMm))) {
    return resultProblem({
      code: 'points-together',
      message: 'The two points lie on each other, so there is no length to compare.',
      remedy: 'Select two points far apart, at both ends of something that can be measured.',
    });
  }
  if (!(measured.finishedMm > 0 && Number.isFinite(measured.finishedMm))) {
    return resultProblem({
      code: 'measure-not-positive',
      message: 'The measured length must be greater than 0.',
      remedy: 'Give the length that the tape showed between the two points.',
    });
  }
  const scale = measured.finishedMm / drawnMm;
  const errorOf = (other: number) => 100 * (other / scale - 1);
  const whole = Math.max(1, Math.round(scale));
  return resultOk({
    scale,
    drawnMm,
    presentErrorPercent: errorOf(job.scale),
    whole: { scale: whole, errorPercent: errorOf(whole) },
    text: `The measure gives 1:${decimalText(scale, 4)}; 1:${whole} would make it ${errorText(errorOf(whole))}.`,
  });
}

function errorText(percent: number): string {
  const size = decimalText(Math.abs(percent), 2);
  if (size === '0') return 'as long as measured';
  return `${size} % too ${percent > 0 ? 'long' : 'short'}`;
}
