/** Traces a template: its paths over the side, the current path, and the result of a click on it. */
import { computed, effect, signal } from '@preact/signals';
import type { ArtworkFacts, ArtworkOutline, ArtworkOutlines } from '../../core/contract/verbs-artwork.ts';
import { outlinesTrace, type TracedAs } from '../../core/job/edits/edits.ts';
import type { ArtworkReference, Job, Side, SideTemplate } from '../../core/job/schema.ts';
import { templatePlace } from '../../core/job/template-place.ts';
import { stretchDistance } from '../../core/measure/flat-curve.ts';
import { decimalText } from '../../core/measure/length-text.ts';
import { pointsHull } from '../../core/measure/outline.ts';
import type { Point, Rect } from '../../core/measure/rect.ts';
import type { Problem } from '../../core/measure/result.ts';
import { MM_PER_PT, type Mm } from '../../core/measure/units.ts';
import { ask } from '../client/client.ts';
import { showProblem } from '../state/notices.ts';
import { editJob, isPasswordAsked, job } from '../state/open-job.ts';
import { workSlot } from '../state/work.ts';
import {
  announce,
  clearSelection,
  placedSides,
  readout,
  showStage,
  sideInHand,
  stage,
  takeTool,
  tool,
  viewport,
  zoomToRect,
} from './bench-state.ts';
import type { BenchPointer } from './gesture.ts';
import { sizeText } from './seam-words.ts';
import { type PlacedSide, pointOnSide, rectOnBench } from './sides-placed.ts';
import { HOLD_REACH_PX } from './snap-steps.ts';

export interface TemplatePath {
  readonly points: readonly Point<'finished'>[];
  readonly isClosed: boolean;
  readonly color: string;
  readonly widthMm: number;
  readonly box: Rect<'finished'>;
}

export type TemplateSource = Pick<SideTemplate, 'page' | 'layer'> & { readonly reference: ArtworkReference };

export const templateWork = workSlot();

/** A template that waits for its password: its message, and the function that tries one. */
interface LockedTemplate {
  readonly message: string;
  open(password: string): Promise<void>;
}
export const templateLocked = signal<LockedTemplate | undefined>(undefined);

/** Stores a PDF as a template, after its password is entered where it needs one. */
export async function keepTemplate(
  file: string,
  onKept: (facts: ArtworkFacts) => void,
  password?: string,
): Promise<void> {
  const kept = await ask('artwork:import', {
    file,
    box: 'crop',
    ...(password !== undefined && { password }),
  });
  templateLocked.value = undefined;
  if (kept.ok) onKept(kept.value);
  else refuseTemplate(kept.problem, (given) => keepTemplate(file, onKept, given));
}

function refuseTemplate(problem: Problem, open: LockedTemplate['open']): void {
  if (isPasswordAsked(problem)) templateLocked.value = { message: problem.message, open };
  else showProblem(problem);
}

/** The password is remembered until the program ends. */
async function unlockTemplate(source: TemplateSource, password: string): Promise<void> {
  const facts = await ask('artwork:facts', { reference: source.reference, isBrief: true, password });
  templateLocked.value = undefined;
  if (facts.ok) await readOutlines(source);
  else refuseTemplate(facts.problem, (given) => unlockTemplate(source, given));
}

/** The last ones read: a dialog lines them up, then they are traced. */
const read = signal<{ readonly key: string; readonly outlines: ArtworkOutlines } | undefined>(undefined);

const keyOf = ({ reference, page, layer }: TemplateSource): string =>
  JSON.stringify([reference.sha256, reference.box, page, layer]);

export const outlinesRead = (source: TemplateSource | undefined): ArtworkOutlines | undefined =>
  source && read.value?.key === keyOf(source) ? read.value.outlines : undefined;

/** Reads the paths of a template if not read yet; false where that fails. */
export async function readOutlines(source: TemplateSource): Promise<boolean> {
  if (outlinesRead(source)) return true;
  templateWork.cancel();
  const { reference, page, layer } = source;
  const request = { reference, page, ...(layer !== undefined && { layer }) };
  const answer = await templateWork.run('artwork:outlines', request, 'Reading the template');
  if (answer.ok) read.value = { key: keyOf(source), outlines: answer.value };
  else refuseTemplate(answer.problem, (password) => unlockTemplate(source, password));
  return answer.ok;
}

export function templateSource(
  { artwork }: Pick<Job, 'artwork'>,
  { template }: Pick<Side, 'template'>,
): TemplateSource | undefined {
  const reference = template?.file ?? artwork;
  if (!template || !reference) return undefined;
  const { page, layer } = template;
  return { reference, page, ...(layer !== undefined && { layer }) };
}

export const pointsOfOutline = ({ points }: Pick<ArtworkOutline, 'points'>): Point<'drawn'>[] =>
  Array.from({ length: points.length / 2 }, (_, index) => ({
    x: points[2 * index]!,
    y: points[2 * index + 1]!,
  }));

/** The side that is alone on the bench while it is traced. */
const tracedSide = computed(() =>
  tool.value === 'trace' && stage.value.kind === 'side' ? placedSides.value[0]?.layout.side : undefined,
);

/** Every path of the template, positioned on the side. */
export const templatePaths = computed<readonly TemplatePath[]>(() => {
  const [side, current] = [tracedSide.value, job.value];
  const source = side && current && templateSource(current, side);
  const outlines = outlinesRead(source)?.outlines;
  const place = outlines && current && side?.template && templatePlace(side.template, side, current.scale);
  if (!place) return [];
  return outlines.map(({ points: _, ...outline }, index) => {
    const points = pointsOfOutline(outlines[index]!).map(place);
    return { ...outline, points, box: pointsHull(points) };
  });
});

/** Shows only the current side on the bench, with its template over it. */
export function takeTrace(): void {
  const side = sideInHand.value;
  if (!side?.template) return;
  if (stage.value.kind !== 'side') showStage({ kind: 'side', sideId: side.id });
  clearSelection();
  takeTool('trace');
  // Again, where it was canceled.
  readTemplate();
}

/** Which paths are offered, and what a click turns one into. */
export interface TraceView {
  /** Absent: any color, any line width. */
  readonly color?: string | undefined;
  readonly lineWidth?: string | undefined;
  readonly as: TracedAs;
}

export const traceView = signal<TraceView>({ as: { kind: 'body-line', lineKind: 'crease' } });

export const offeredPaths = computed<readonly TemplatePath[]>(() => {
  const { color, lineWidth } = traceView.value;
  return templatePaths.value
    .filter((path) => color === undefined || path.color === color)
    .filter((path) => lineWidth === undefined || lineWidthText(path.widthMm) === lineWidth)
    .toSorted((a, b) => a.box.x - b.box.x || a.box.y - b.box.y);
});

/** As the data of an SVG path. */
export const pathShape = ({ points, isClosed }: TemplatePath): string =>
  `M${points.map(({ x, y }) => `${x.toFixed(1)} ${y.toFixed(1)}`).join('L')}${isClosed ? 'Z' : ''}`;

/** All offered paths in one node, which draws much faster than thousands. */
export const tracedShape = computed(() => offeredPaths.value.map(pathShape).join(''));

/** The path under the pointer, or selected by keys. */
export const pathInHand = signal<TemplatePath | undefined>(undefined);

effect(() => {
  const side = tracedSide.value;
  if (side?.template) readTemplate();
  else if (side) takeTool('select');
});

function readTemplate(): void {
  const [side, current] = [tracedSide.value, job.value];
  const source = side && current && templateSource(current, side);
  if (source && !templateWork.progress.peek()) void readOutlines(source);
}

effect(() => {
  const held = pathInHand.value;
  if (held && !offeredPaths.value.includes(held)) pathInHand.value = undefined;
});

export function hoverTrace(placed: PlacedSide, pointer: BenchPointer): void {
  const at = pointOnSide(placed, pointer.mm);
  let least = HOLD_REACH_PX / viewport.value.pxPerMm;
  let nearest: TemplatePath | undefined;
  for (const path of offeredPaths.value) {
    const away = distanceFromPath(path, at, least);
    if (away >= least) continue;
    least = away;
    nearest = path;
  }
  pathInHand.value = nearest;
  readout.value = nearest && { at: pointer.px, lines: pathWords(nearest) };
}

/** Infinity where it is certainly farther than `reach`. */
function distanceFromPath({ points, isClosed, box }: TemplatePath, { x, y }: Point, reach: number): number {
  const isBeside =
    x < box.x - reach || y < box.y - reach || x > box.x + box.width + reach || y > box.y + box.height + reach;
  if (isBeside) return Number.POSITIVE_INFINITY;
  let least = Number.POSITIVE_INFINITY;
  for (let index = isClosed ? 0 : 1; index < points.length; index++) {
    const [from, to] = [points.at(index - 1)!, points[index]!];
    least = Math.min(least, stretchDistance(x, y, from.x, from.y, to.x, to.y));
  }
  return least;
}

function pathWords({ isClosed, color, widthMm, box }: TemplatePath): string[] {
  const unit = job.value?.displayUnit ?? 'mm';
  return [
    `${isClosed ? 'Closed path' : 'Open path'}, ${sizeText(box, unit)}`,
    `${color}, ${lineWidthText(widthMm)}`,
  ];
}

/** As drawn, in points, the unit of drawings. */
export const lineWidthText = (widthMm: Mm): string =>
  widthMm > 0 ? `line of ${decimalText(widthMm / MM_PER_PT, 2)} pt` : 'area without a line';

/** The next or previous offered path, from the left; it is moved into view and read out. */
export function stepTrace(by: 1 | -1): void {
  const paths = offeredPaths.value;
  const held = pathInHand.value;
  const from = held ? paths.indexOf(held) : by > 0 ? -1 : 0;
  const next = paths[(from + by + paths.length) % paths.length];
  const placed = placedSides.value[0];
  if (!next || !placed) {
    announce('The template has no path here.');
    return;
  }
  pathInHand.value = next;
  zoomToRect(rectOnBench(placed, next.box));
  announce(`Path ${paths.indexOf(next) + 1} of ${paths.length}. ${pathWords(next).join('. ')}`);
}

/** Turns the current path into a line or an area. */
export function tracePathInHand(): void {
  const held = pathInHand.value;
  if (held) tracePaths([held]);
  else announce('Point at a path of the template, or go to one by the arrow keys.');
}

export function tracePaths(outlines: readonly TemplatePath[]): void {
  const side = tracedSide.value;
  if (!side) return;
  const { as } = traceView.value;
  const counted = () => tracedCount(job.value?.sides.find(({ id }) => id === side.id));
  const before = counted();
  if (editJob('Trace the template', (now) => outlinesTrace(now, { sideId: side.id, outlines, as }))) return;
  const made = counted() - before;
  announce(`${made} ${made === 1 ? 'line or area was' : 'lines and areas were'} made.`);
}

const tracedCount = (side: Side | undefined): number =>
  side
    ? side.bodyLines.length + side.noFilmAreas.length + side.noSeamAreas.length + (side.doors?.length ?? 0)
    : 0;
