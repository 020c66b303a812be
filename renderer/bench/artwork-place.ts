/** Artwork that comes into a job after its vehicle, placed on the sides that wait for it. */
import { artworkOnSides, sidesWithoutPage } from '../../core/proposal/artwork-on-sides.ts';
import { pagesSeen } from '../../core/proposal/page-seen.ts';
import { ask } from '../client/client.ts';
import { showDone, showProblem } from '../state/notices.ts';
import { artworkFacts, editJob, job } from '../state/open-job.ts';
import { showStage } from './bench-state.ts';

/** One undo step. Text on the pages says more than their sizes, so it is read first. */
export async function placeArtwork(): Promise<void> {
  const asked = job.value;
  if (!asked?.artwork || sidesWithoutPage(asked).length === 0) return;
  const known = artworkFacts.value;
  const isRead = known?.scan && known.reference.sha256 === asked.artwork.sha256;
  const facts = isRead ? known : await readPages(asked.artwork);
  if (!facts || job.value?.id !== asked.id) return;
  let said = '';
  editJob('Place the artwork on the sides', (now) => {
    const placed = artworkOnSides(now, pagesSeen(facts));
    if (!placed.ok) return placed;
    const { placed: count } = placed.value;
    said = [
      count === 0
        ? 'No side found its artwork.'
        : `The artwork is placed on ${count} ${count === 1 ? 'side' : 'sides'}; undo takes it away.`,
      ...placed.value.remarks,
    ].join(' ');
    return { ok: true, value: placed.value.job };
  });
  if (said !== '') showDone(said);
  showStage({ kind: 'all' });
}

async function readPages(reference: NonNullable<NonNullable<typeof job.value>['artwork']>) {
  const facts = await ask('artwork:facts', { reference, isBrief: false });
  if (facts.ok) return facts.value;
  showProblem(facts.problem);
  return undefined;
}
