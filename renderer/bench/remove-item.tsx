/** Removes a line or an area; where seams follow it, asks what becomes of them. */
import { signal } from '@preact/signals';
import { itemRemove, seamsFollowing } from '../../core/job/edits/edits.ts';
import { Button } from '../parts/button.tsx';
import { Dialog } from '../parts/dialog.tsx';
import { editJob, job } from '../state/open-job.ts';

interface ItemOfSide {
  readonly sideId: string;
  readonly itemId: string;
}

const asked = signal<(ItemOfSide & { readonly seams: number }) | undefined>(undefined);

export function removeItem({ sideId, itemId }: ItemOfSide): void {
  const side = job.value?.sides.find(({ id }) => id === sideId);
  const seams = side ? seamsFollowing(side, itemId).length : 0;
  if (seams > 0) asked.value = { sideId, itemId, seams };
  else editJob('Remove a line or area', (now) => itemRemove(now, { sideId, itemId }));
}

export function RemoveLineDialog() {
  const question = asked.value;
  if (!question) return null;
  const close = () => {
    asked.value = undefined;
  };
  const remove = (seamsKeep: 'shape' | 'mean') => {
    close();
    editJob('Remove a line that seams follow', (now) => itemRemove(now, { ...question, seamsKeep }));
  };
  const { seams } = question;
  return (
    <Dialog title="Remove the line?" onClose={close}>
      <p>
        {seams === 1 ? 'A seam follows' : `${seams} seams follow`} this line. Without it,{' '}
        {seams === 1 ? 'the seam keeps' : 'the seams keep'} its shape as {seams === 1 ? 'its' : 'their'} own,
        or {seams === 1 ? 'is' : 'are'} straight at its mean.
      </p>
      <div class="dialog-actions">
        <Button isSafe onClick={close}>
          Cancel
        </Button>
        <Button onClick={() => remove('mean')}>Straighten {seams === 1 ? 'the seam' : 'the seams'}</Button>
        <Button isPrimary onClick={() => remove('shape')}>
          Keep the shape
        </Button>
      </div>
    </Dialog>
  );
}
