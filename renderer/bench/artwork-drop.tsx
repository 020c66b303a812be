/** Takes a PDF that is dropped on the bench, and says what to do where there is no artwork yet. */
import type { ComponentChildren } from 'preact';
import { useRef, useState } from 'preact/hooks';
import type { Job } from '../../core/job/schema.ts';
import { present } from '../../core/measure/present.ts';
import { Button } from '../parts/button.tsx';
import { PasswordDialog } from '../parts/password-dialog.tsx';
import { WorkProgress } from '../parts/work-progress.tsx';
import { openGuide, openVehicleSides } from '../state/dialogs.ts';
import { isReadOnly } from '../state/open-job.ts';
import {
  artworkProgress,
  askForArtwork,
  cancelArtwork,
  givePassword,
  offerArtwork,
  passwordQuestion,
} from './artwork-import.ts';
import { pictureLimits, pictureProblem } from './picture-problem.ts';
import { TemplatePassword } from './template-password.tsx';

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
        void offerArtwork([...(event.dataTransfer?.files ?? [])]);
      }}
    >
      {children}
      {!job.artwork && job.sides.length === 0 && !artworkProgress.value && <NoArtwork />}
      {artworkProgress.value && (
        <div class="over-canvas">
          <WorkProgress progress={artworkProgress.value} onCancel={cancelArtwork} />
        </div>
      )}
      <PictureNote />
      {!job.artwork && job.sides.length > 0 && !artworkProgress.value && <ArtworkLater />}
      {passwordQuestion.value && <ImportPassword />}
      <TemplatePassword />
    </div>
  );
}

function NoArtwork() {
  return (
    <div class="over-canvas">
      <h2>Bring in the artwork</h2>
      <p>
        Drop a PDF here, drawn to any scale, or several at once, such as one for each side. Then draw a
        rectangle on its page for each side of the vehicle, and cut the sides into panels with seams.
      </p>
      <Button isPrimary onClick={askForArtwork}>
        Import artwork
      </Button>
      <p>No artwork yet? Sizes of the sides are enough to plan panels and to quote.</p>
      <Button isDisabled={isReadOnly.value} onClick={openVehicleSides}>
        Begin with the vehicle
      </Button>
    </div>
  );
}

/** Of a job that began with its vehicle. */
function ArtworkLater() {
  return (
    <div class="picture-note artwork-later">
      <p>No artwork yet: the sides are drawn by their sizes.</p>
      <Button onClick={askForArtwork}>Import artwork</Button>
      <Button title="Thin lines for the designer to draw over" onClick={openGuide}>
        Panel guide
      </Button>
    </div>
  );
}

/** Why there is no picture, or what it leaves out. The outlines can be used in any case. */
function PictureNote() {
  const problem = pictureProblem.value;
  if (problem) {
    return (
      <p class="picture-note is-problem" role="status">
        <strong>{problem.message}</strong> {problem.remedy}
      </p>
    );
  }
  const pages = pictureLimits.value;
  const limits = pages.flatMap((page) => page.limits);
  if (limits.length === 0) return null;
  return (
    <details class="picture-note">
      <summary>
        Not as it prints: {limits.length === 1 ? 'one thing' : `${limits.length} things`} in this artwork
      </summary>
      {pages.map(({ page, limits: ofPage }) => (
        <ul key={page} {...(pages.length > 1 && { 'aria-label': `Page ${page}` })}>
          {ofPage.map(({ code, text }) => (
            <li key={code}>
              {pages.length > 1 && <span class="quiet">Page {page}. </span>}
              {text}
            </li>
          ))}
        </ul>
      ))}
      <p class="quiet">
        The panels are cut from the file itself and keep all of it. Judge these on a color target.
      </p>
    </details>
  );
}

function ImportPassword() {
  return (
    <PasswordDialog
      message={present(passwordQuestion.value, 'The question for a password').message}
      onPassword={(password) => void givePassword(password)}
      onClose={() => {
        passwordQuestion.value = undefined;
      }}
    />
  );
}
