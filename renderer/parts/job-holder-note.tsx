/** In the header: who edits the open job where it is read-only here, and who would like to where it is edited here. */
import { handOverJob, isHeldElsewhere, jobHolder, takeOverJob } from '../state/open-job.ts';
import { askForJob, isAsking } from '../state/other-seats.ts';
import { Button } from './button.tsx';
import { PastTime } from './past-time.tsx';

export function JobHolderNote() {
  const holder = jobHolder.value;
  if (isHeldElsewhere.value) {
    return (
      <>
        {holder && (
          <span class="quiet" role="status">
            {holder.person} at {holder.machine} since <PastTime at={holder.since} />
          </span>
        )}
        {holder && (
          <Button
            onClick={askForJob}
            isDisabled={isAsking.value}
            title="The other window is asked to hand the job over; you edit it as soon as it does"
          >
            {isAsking.value ? 'Asked' : 'Ask to edit'}
          </Button>
        )}
        <Button onClick={takeOverJob} title="The other window may only read the job from then on">
          Edit here instead
        </Button>
      </>
    );
  }
  if (!holder?.isHere || holder.askedBy === undefined) return null;
  return (
    <>
      <span role="status">{holder.askedBy} would like to edit this job.</span>
      <Button onClick={handOverJob} title="Saves the job; you can read it here from then on">
        Hand over
      </Button>
    </>
  );
}
