import { layoutFindings } from '../../findings/layout/findings.ts';
import { type EditResult, seamMove } from '../../job/edits/edits.ts';
import type { Job } from '../../job/schema.ts';
import { seamInSplit } from '../../job/seam-range.ts';
import { sideOutline } from '../../job/side-outline.ts';
import { rectFromStored } from '../../job/stored-rect.ts';
import { jobLayout } from '../../layout/side-layout.ts';
import { type Lettering, letteringMeaning } from '../../lettering/lettering.ts';
import {
  letteringCrossings,
  placesBetweenWords,
  SMALL_CAPITALS_MM,
} from '../../lettering/lettering-crossing.ts';
import { type Problem, type Result, resultProblem } from '../../measure/result.ts';
import { sideLettering } from '../side-lettering.ts';
import type { ArtworkKnown } from './job-findings.ts';

/**
 * Moves a seam to the nearest place where it cuts no word (or none that warns) and no no-seam area, and where nothing
 * new stops the output: a panel that no longer fits the roll is no remedy.
 */
export function seamMovedOffLettering(
  job: Job,
  { scan, pages }: Pick<ArtworkKnown, 'scan' | 'pages'>,
  { sideId, seamId }: { readonly sideId: string; readonly seamId: string },
): Result<Job, Problem> {
  const side = job.sides.find(({ id }) => id === sideId);
  const found = side && seamInSplit(side.layout, sideOutline(side, job.scale), seamId);
  const page = scan?.pages.find(({ number }) => number === side?.page);
  if (!side || !found || !page) return resultProblem(NO_PLACE);
  if (found.joint.shape) return resultProblem(SHAPED);
  const areas = side.noSeamAreas.map(({ id, rect }) => {
    const area = rectFromStored<'finished'>(rect);
    return { id, rect: area, words: [area], capHeightMm: area.height, isSure: true, strokes: [] };
  });
  const seam = { direction: found.split.seams, at: found.joint.atMm, span: found.span };
  const stops = stopsOf(job, pages);
  const lettering = sideLettering(job, side, page);
  // Where a giant word leaves no space, large letters may be cut, and only lettering that warns is avoided.
  for (const kept of [lettering, lettering.filter(isSparedFirst)]) {
    for (const atMm of placesBetweenWords([...kept, ...areas], seam, found.range)) {
      const moved: EditResult = seamMove(job, { sideId, seamId, atMm });
      const isQuiet = letteringCrossings(lettering, { ...seam, at: atMm }).every(({ warns }) => !warns);
      if (moved.ok && isQuiet && stopsOf(moved.value, pages) <= stops) return moved;
    }
  }
  return resultProblem(NO_PLACE);
}

const isSparedFirst = (lettering: Lettering): boolean =>
  letteringMeaning(lettering) !== undefined ||
  (lettering.isSure && lettering.capHeightMm < SMALL_CAPITALS_MM);

const stopsOf = (job: Job, pages: ArtworkKnown['pages']): number =>
  layoutFindings(job, jobLayout(job, pages)).filter(({ severity }) => severity === 'stop').length;

const SHAPED: Problem = {
  code: 'no-place-between-words',
  message: 'The seam has the shape of a body line, and no space between words has that.',
  remedy: 'Straighten the seam first, or let it follow another line.',
};

const NO_PLACE: Problem = {
  code: 'no-place-between-words',
  message: 'No space between words is in reach: the seams beside this one and the roll width leave none.',
  remedy: 'Move the seams beside it first, or suggest panel layouts that keep off the lettering.',
};
