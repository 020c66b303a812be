/** Takes a PDF that is dropped on the bench, and says what to do where there is no artwork yet. */
import type { ComponentChildren } from 'preact';
import { useRef, useState } from 'preact/hooks';
import type { Job } from '../../core/job/schema.ts';
import { Button } from '../parts/button.tsx';
import { Dialog } from '../parts/dialog.tsx';
import { TextField } from '../parts/field.tsx';
import { WorkProgress } from '../parts/work-progress.tsx';
import {
  artworkAsk,
  artworkCancel,
  artworkOffered,
  artworkProgress,
  passwordGiven,
  passwordQuestion,
} from './artwork-import.ts';
import { pictureProblem } from './picture-problem.ts';

export function ArtworkDrop({ job, children }: { readonly job: Job; readonly children: ComponentChildren }) {
  const [isOver, setOver] = useState(false);
  const depth = useRef(0);
  const enter = (by: 1 | -1) => {
    depth.current = Math.max(0, depth.current + by);
    setOver(depth.current > 0);
  };
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: a place to drop files on; the button imports by keyboard.
    <div
      class={isOver ? 'artwork-drop is-over' : 'artwork-drop'}
      onDragEnter={() => enter(1)}
      onDragLeave={() => enter(-1)}
      onDragOver={(event) => event.preventDefault()}
      onDrop={(event) => {
        event.preventDefault();
        enter(-1);
        const file = event.dataTransfer?.files[0];
        if (file) void artworkOffered(file);
      }}
    >
      {children}
      {!job.artwork && !artworkProgress.value && <NoArtwork />}
      {artworkProgress.value && (
        <div class="over-canvas">
          <WorkProgress progress={artworkProgress.value} onCancel={artworkCancel} />
        </div>
      )}
      <PictureNote />
      {passwordQuestion.value && <PasswordDialog />}
    </div>
  );
}

function NoArtwork() {
  return (
    <div class="over-canvas">
      <h2>Bring in the artwork</h2>
      <p>
        Drop a PDF here, drawn to any scale. Then draw a rectangle on its page for each side of the vehicle,
        and cut the sides into panels with seams.
      </p>
      <Button isPrimary onClick={artworkAsk}>
        Import artwork
      </Button>
    </div>
  );
}

/** What the picture does not show. The outlines stay usable whatever it is. */
function PictureNote() {
  const problem = pictureProblem.value;
  if (!problem) return null;
  return (
    <p class="picture-note" role="status">
      <strong>{problem.message}</strong> {problem.remedy}
    </p>
  );
}

function PasswordDialog() {
  const question = passwordQuestion.value!;
  const [password, setPassword] = useState('');
  const close = () => {
    passwordQuestion.value = undefined;
  };
  return (
    <Dialog title="Password of the artwork" onClose={close}>
      <form
        class="form"
        onSubmit={(event) => {
          event.preventDefault();
          void passwordGiven(password);
        }}
      >
        <p>{question.message}</p>
        <TextField
          label="Password"
          isSecret
          value={password}
          onInput={setPassword}
          onChange={setPassword}
          hint="It is used to read the file and never written down."
        />
        <div class="dialog-actions">
          <Button onClick={close}>Cancel</Button>
          <Button isPrimary isSubmit>
            Open
          </Button>
        </div>
      </form>
    </Dialog>
  );
}
