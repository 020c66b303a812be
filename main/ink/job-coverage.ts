/** Ink coverage of a job's panels, computed from its artwork; each side is drawn once for a while. */
import { rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import type { Progress } from '../../core/contract/parts.ts';
import type { Job } from '../../core/job/schema.ts';
import { rectFromStored } from '../../core/job/stored-rect.ts';
import type { SideLayout } from '../../core/layout/side-layout.ts';
import { itemAt } from '../../core/measure/present.ts';
import { type Rect, rectBottom, rectHull, rectRight } from '../../core/measure/rect.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { finishedFromDrawn } from '../../core/measure/spaces.ts';
import { MM_PER_INCH } from '../../core/measure/units.ts';
import { isPdfProblem } from '../../core/pdf/file/pdf-problem.ts';
import { coverageOfRaster, type InkRaster } from '../../core/production/coverage.ts';
import {
  type MeasuredCoverage,
  needsCoverage,
  type PanelCoverage,
} from '../../core/production/job-coverage.ts';
import { isDrawnBeside, type OpenedArtwork } from '../artwork/artwork-file.ts';
import { pageArea } from '../artwork/page-area.ts';
import { pauseBetweenTurns } from '../files/called-off.ts';
import { fileProblem } from '../files/file-problem.ts';
import { makeScratchFolder } from '../files/scratch-folder.ts';
import type { PictureFailure } from '../render/picture-maker.ts';
import type { CoverageStore } from './coverage-store.ts';
import type { DrawingTools } from './side-inks.ts';

/**
 * Size of a pixel, which is one window of just over 15 mm². With four pixels to a window the demo artwork takes 1.7 times
 * as long, and no mean changes by more than 1 %. A thinner stroke counts as one pixel wide.
 */
const PIXEL_MM = 3.88;
/** Larger sides are drawn coarser, and their windows are larger. */
const MAX_PIXELS = 12_000_000;

export interface CoverageTools {
  readonly signal: AbortSignal;
  readonly report: (progress: Progress) => void;
  /** What was computed before, and will be asked for again. */
  readonly store?: CoverageStore | undefined;
}

/** Undefined where it is not needed: without production settings, or with both figures entered. */
export async function measureCoverage(
  job: Job,
  layouts: readonly SideLayout[],
  artwork: OpenedArtwork | undefined,
  tools: CoverageTools,
): Promise<MeasuredCoverage | undefined> {
  if (!artwork || !job.production || !needsCoverage(job)) return undefined;
  return await jobCoverage(job, layouts, artwork, tools);
}

/** Problems: `cancelled`, or no room for the drawings. */
export async function tryCoverage<T>(compute: () => Promise<T>): Promise<Result<T>> {
  try {
    return resultOk(await compute());
  } catch (error) {
    const problem = fileProblem(error, tmpdir());
    if (problem) return resultProblem(problem);
    throw error;
  }
}

/** Throws the signal's error; a side that cannot be drawn is named in the result. */
export async function jobCoverage(
  job: Job,
  layouts: readonly SideLayout[],
  artwork: OpenedArtwork,
  { signal, report, store }: CoverageTools,
): Promise<MeasuredCoverage> {
  const panels: PanelCoverage[] = [];
  const unmeasured: { sideCode: string; reason: string }[] = [];
  let plates: Promise<Plates> | undefined;
  const find = async (layout: SideLayout): Promise<FoundCoverage> => {
    const known = await store?.panels(artwork.reference, layout, job.scale);
    if (known) return { known };
    plates ??= newPlates();
    return { drawn: await drawSide(job, layout, artwork, await plates, signal) };
  };
  // While one side is drawn, the plates of the next are written.
  const ahead = isDrawnBeside(artwork) ? 1 : 0;
  const begun: Promise<FoundCoverage>[] = [];
  try {
    for (const [done, layout] of layouts.entries()) {
      signal.throwIfAborted();
      report({ what: `Computing the ink of ${layout.side.code}`, done, total: layouts.length });
      for (const next of layouts.slice(begun.length, done + 1 + ahead)) {
        const found = find(next);
        // Later callers get the reason why it failed.
        found.catch(() => undefined);
        begun.push(found);
      }
      const { known, drawn } = await itemAt(begun, done);
      if (known) panels.push(...known);
      else if (typeof drawn === 'string') unmeasured.push({ sideCode: layout.side.code, reason: drawn });
      else if (drawn) {
        const computed = layout.panels.map((panel) => panelCoverage(panel, drawn));
        await store?.keep(artwork.reference, layout, job.scale, computed);
        panels.push(...computed);
      }
    }
    return { panels, unmeasured };
  } finally {
    const isEnded = Promise.allSettled(begun);
    await (await plates)?.pictures.close();
    await isEnded;
  }
}

type Plates = Pick<DrawingTools, 'images' | 'pictures'>;

/** Loaded only for a computation, because results are usually stored already. */
async function newPlates(): Promise<Plates> {
  const [{ InkImages }, { PlatePictures }] = await Promise.all([
    import('../../core/ink/plate-image.ts'),
    import('./plate-pictures.ts'),
  ]);
  return { images: new InkImages(), pictures: new PlatePictures() };
}

interface FoundCoverage {
  /** Computed before. */
  readonly known?: readonly PanelCoverage[];
  readonly drawn?: DrawnSide | string | undefined;
}

/** A side's inks, and the part of the side that they cover. */
interface DrawnSide {
  readonly raster: InkRaster;
  readonly area: Rect<'finished'>;
}

/** Recently drawn sides: an operator moves seams while the artwork stays. About 150 MB at most. */
const MAX_KEPT = 6;
const kept = new Map<string, DrawnSide>();

/** A sentence where the side cannot be drawn; undefined where it has no panels. */
async function drawSide(
  job: Job,
  { side, panels }: SideLayout,
  artwork: OpenedArtwork,
  plates: Plates,
  signal: AbortSignal,
): Promise<DrawnSide | string | undefined> {
  const page = artwork.pages.find(({ number }) => number === side.page);
  if (panels.length === 0) return undefined;
  if (side.page === undefined) return 'it is on no page of the artwork yet';
  if (!page) return `page ${side.page} of the artwork cannot be used`;
  const area = panels.map(({ printed }) => printed).reduce(rectHull);
  const { sha256, box } = artwork.reference;
  const key = JSON.stringify([sha256, box, side.page, side.artworkRect, job.scale, area]);
  const known = kept.get(key);
  if (known) return known;
  const drawn = finishedFromDrawn(rectFromStored(side.artworkRect), job.scale).rectBack(area);
  const pixelMm = Math.max(PIXEL_MM, Math.sqrt((area.width * area.height) / MAX_PIXELS));
  const widthPx = Math.max(1, Math.round(area.width / pixelMm));
  const { crop } = page.boxes;
  const folder = makeScratchFolder('inks');
  try {
    const { sideInks } = await import('./side-inks.ts');
    const outcome = await sideInks(
      artwork.artwork,
      {
        page: side.page,
        window: pageArea(drawn, crop, page.userUnit),
        widthPx,
        longestPx: Math.ceil((widthPx / drawn.width) * Math.max(crop.width, crop.height)),
        ppi: (widthPx * MM_PER_INCH) / area.width,
      },
      { folder, signal, ...plates, pause: pauseBetweenTurns(signal) },
    );
    if (!outcome.ok) return FAILURES[outcome.failure];
    const made = { raster: outcome.raster, area };
    kept.set(key, made);
    const [oldest] = kept.keys();
    if (kept.size > MAX_KEPT && oldest !== undefined) kept.delete(oldest);
    return made;
  } catch (error) {
    if (isPdfProblem(error)) return error.message;
    throw error;
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

const FAILURES: Readonly<Record<PictureFailure, string>> = {
  'too-slow': 'its artwork takes too much work to draw',
  'too-large': 'its artwork is too large to draw',
  'not-drawable': 'its artwork could not be drawn',
  'no-answer': 'what draws its artwork gave no answer',
};

function panelCoverage(
  { id, label, printed }: SideLayout['panels'][number],
  { raster, area }: DrawnSide,
): PanelCoverage {
  const perMm = raster.width / area.width;
  const clamp = (value: number, low: number, high: number) => Math.min(high, Math.max(low, value));
  const x = clamp(Math.round((printed.x - area.x) * perMm), 0, raster.width - 1);
  const y = clamp(Math.round((printed.y - area.y) * perMm), 0, raster.height - 1);
  const right = clamp(Math.round((rectRight(printed) - area.x) * perMm), x + 1, raster.width);
  const bottom = clamp(Math.round((rectBottom(printed) - area.y) * perMm), y + 1, raster.height);
  const part = { x, y, width: right - x, height: bottom - y };
  const { meanPercent, worstPercent, worstAt, windowMm2 } = coverageOfRaster(raster, part);
  return { panelId: id, label, meanPercent, worstPercent, worstAt, windowMm2 };
}
