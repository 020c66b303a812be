/** What can be done about a seam through lettering, with one click each. */
import { seamMovedOffLettering } from '../../core/checks/findings/seam-off-lettering.ts';
import { letteringOnPage } from '../../core/checks/side-lettering.ts';
import type { Finding } from '../../core/findings/finding.ts';
import { itemAdd, letteringHeed, letteringIgnore } from '../../core/job/edits/edits.ts';
import type { Job } from '../../core/job/schema.ts';
import { storedFromRect } from '../../core/job/stored-rect.ts';
import { foundIn, present } from '../../core/measure/present.ts';
import { artworkKnown } from '../state/job-findings.ts';
import { editJob } from '../state/open-job.ts';
import { Button } from './button.tsx';

const isSeamThroughLettering = ({ code }: Finding): boolean =>
  /^seam-(?:through-(?:lettering|large-lettering|likely-lettering|phone-number|web-address|legal-marking)|along-upright-stroke)$/.test(
    code,
  );

export function LetteringActions({ finding }: { readonly finding: Finding }) {
  const { area, sideId, seamId } = finding.where;
  if (!area || sideId === undefined) return null;
  if (finding.code === 'lettering-ignored') return <Button onClick={() => heed(finding)}>Clear</Button>;
  if (!isSeamThroughLettering(finding) || seamId === undefined) return null;
  return (
    <>
      <Button onClick={() => moveOff(sideId, seamId)}>Move seam to the nearest space</Button>
      <Button onClick={() => keepSeamsOff(finding)}>Make no-seam area</Button>
      <Button
        title="The lettering is decoration: no seam through it is told any more"
        onClick={() => ignore(finding)}
      >
        Ignore
      </Button>
    </>
  );
}

function moveOff(sideId: string, seamId: string): void {
  const artwork = artworkKnown.value;
  if (!artwork) return;
  editJob('Move a seam to the nearest space', (job) =>
    seamMovedOffLettering(job, artwork, { sideId, seamId }),
  );
}

/** A finding about lettering says on which side it is, and where. */
function placeOf({ where: { sideId, area } }: Finding) {
  return {
    sideId: present(sideId, 'The side of lettering'),
    area: present(area, 'The place of lettering'),
  };
}

function keepSeamsOff(finding: Finding): void {
  const name = finding.about?.replaceAll(/[“”]/g, '') ?? 'Lettering';
  const { sideId, area } = placeOf(finding);
  editJob('Make a no-seam area', (job) =>
    itemAdd(job, { sideId, list: 'noSeamAreas', item: { name, rect: storedFromRect(area) } }),
  );
}

/** Its place on the page: lettering is ignored there, even if the side changes. */
function drawnPlace(job: Job, finding: Finding) {
  const { sideId, area } = placeOf(finding);
  const side = foundIn(job.sides, ({ id }) => id === sideId);
  return { sideId, drawn: letteringOnPage(job, side, area) };
}

function ignore(finding: Finding): void {
  editJob('Ignore lettering', (job) => letteringIgnore(job, drawnPlace(job, finding)));
}

function heed(finding: Finding): void {
  editJob('Clear ignored lettering', (job) => letteringHeed(job, drawnPlace(job, finding)));
}
