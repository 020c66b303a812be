/** The artwork file, the box it is measured from, and its scale. */
import { artworkBoxSet } from '../../../core/job/edits/edits.ts';
import type { Job } from '../../../core/job/schema.ts';
import { rectFromStored } from '../../../core/job/stored-rect.ts';
import { PAGE_BOXES, type PageBox } from '../../../core/measure/page-box.ts';
import { sidesWithoutPage } from '../../../core/proposal/artwork-on-sides.ts';
import { Button } from '../../parts/button.tsx';
import { bytesText } from '../../parts/quantity-text.ts';
import { Facts, Section } from '../../parts/section.tsx';
import { SelectField } from '../../parts/select-field.tsx';
import { artworkFacts, editJob, isReadOnly } from '../../state/open-job.ts';
import { askForArtwork } from '../artwork-import.ts';
import { placeArtwork } from '../artwork-place.ts';
import { showStage, stage, stagePage, takeTool } from '../bench-state.ts';
import { makeSide } from '../gesture-page.ts';
import { sizeText } from '../seam-words.ts';
import { ScaleSection } from './scale-section.tsx';

const BOX_NAMES: Readonly<Record<PageBox, string>> = {
  media: 'Media box, the whole sheet',
  crop: 'Crop box, what viewers show',
  bleed: 'Bleed box',
  trim: 'Trim box, the finished page',
  art: 'Art box',
};

export function ArtworkInspector({ job }: { readonly job: Job }) {
  const { artwork } = job;
  return (
    <>
      <Section title="File">
        {artwork ? (
          <Facts
            rows={[
              ['Name', artwork.fileName],
              ['Size', bytesText(artwork.sizeBytes)],
              ['Pages', String(artworkFacts.value?.pages.length ?? '…')],
              ['SHA-256', `${artwork.sha256.slice(0, 16)}…`],
            ]}
          />
        ) : (
          <p class="quiet">No artwork yet. Drop a PDF on the canvas, or select one.</p>
        )}
        <Button isPrimary={!artwork} onClick={askForArtwork}>
          {artwork ? 'Replace the artwork' : 'Import artwork'}
        </Button>
        {artwork && sidesWithoutPage(job).length > 0 && (
          <Button isDisabled={isReadOnly.value} onClick={placeArtwork}>
            Place the artwork on the sides
          </Button>
        )}
        {artwork && <BoxChoice job={job} box={artwork.box} />}
        {artworkFacts.value?.problems.map(({ page, message, remedy }) => (
          <p key={page} class="field-problem">
            {message} {remedy}
          </p>
        ))}
      </Section>
      {artwork && <PageSection job={job} />}
      <ScaleSection job={job} />
      <Section title="What the picture does not show">
        <p class="quiet">
          Overprint is not shown, and colors are as near as a screen comes. The panels are not touched by
          this: they are cut from the file itself.
        </p>
      </Section>
    </>
  );
}

function BoxChoice({ job, box }: { readonly job: Job; readonly box: PageBox }) {
  return (
    <SelectField
      label="Lengths on the page are measured from"
      value={box}
      options={PAGE_BOXES.map((value) => ({ value, label: BOX_NAMES[value] }))}
      hint={job.sides.length > 0 ? 'Sides stay on the same spot of the artwork.' : ''}
      onChange={(next) => {
        const corners = new Map(
          (artworkFacts.value?.pages ?? []).map((page) => {
            const { xMm: x, yMm: y } = page.boxes[next] ?? { xMm: 0, yMm: 0 };
            return [page.number, { x, y }] as const;
          }),
        );
        editJob('Set the page box', (now) => artworkBoxSet(now, { box: next, corners }));
      }}
    />
  );
}

function PageSection({ job }: { readonly job: Job }) {
  const page = stagePage.value;
  if (stage.value.kind !== 'page' || !page) {
    const [first] = artworkFacts.value?.pages ?? [];
    if (!first) return null;
    return (
      <Section title="Sides">
        <Button onClick={() => showStage({ kind: 'page', page: first.number })}>
          Draw sides on its pages
        </Button>
      </Section>
    );
  }
  const boxInUse = job.artwork && page.boxes[job.artwork.box];
  return (
    <Section title={`Page ${page.number}`}>
      <Facts
        rows={[
          ['Drawn', sizeText(rectFromStored(page.extent), job.displayUnit)],
          ['Turned', page.rotate === 0 ? 'no' : `${page.rotate}°`],
          ...(page.userUnit === 1 ? [] : ([['User unit', String(page.userUnit)]] as const)),
        ]}
      />
      <div class="buttons">
        <Button isDisabled={isReadOnly.value} onClick={() => takeTool('side')}>
          Draw a side
        </Button>
        {boxInUse && (
          <Button onClick={() => makeSide(rectFromStored<'drawn'>(boxInUse))}>
            The whole page is a side
          </Button>
        )}
      </div>
    </Section>
  );
}
