/**
 * Shown instead of the canvas while a job has artwork but no sides: what the artwork probably is, for the operator to
 * confirm.
 */
import { useEffect, useRef, useState } from 'preact/hooks';
import type { Picture as PictureBytes } from '../../core/contract/parts.ts';
import type { Job } from '../../core/job/schema.ts';
import { storedFromRect } from '../../core/job/stored-rect.ts';
import { VEHICLE_KIND_CHOICES } from '../../core/job/vehicles.ts';
import { scaleText } from '../../core/proposal/scale-proposal.ts';
import { SIDE_ROLES, type SideRole } from '../../core/proposal/side-proposal.ts';
import { showStage, takeTool } from '../bench/bench-state.ts';
import { ask } from '../client/client.ts';
import { Button } from '../parts/button.tsx';
import { NumberField } from '../parts/number-field.tsx';
import { Picture } from '../parts/picture.tsx';
import { SelectField } from '../parts/select-field.tsx';
import { artworkFacts } from '../state/open-job.ts';
import { LayoutsStep } from './layouts-step.tsx';
import {
  closeStart,
  isArtworkRead,
  kindInProposal,
  type SideInProposal,
  sayKind,
  sayRole,
  sayScale,
  scaleInProposal,
  scaleRead,
  setUpSides,
  sideProposed,
  sidesInProposal,
  startStep,
  wrongWaysSeen,
} from './start-state.ts';
import { finishedText, proposalText, scaleReasonText } from './start-words.ts';

const PICTURE_PX = 900;

export function StartPanel({ job }: { readonly job: Job }) {
  return (
    <section class="start" aria-labelledby="start-title">
      {startStep.value === 'layouts' ? <LayoutsStep job={job} /> : <SidesStep job={job} />}
    </section>
  );
}

function SidesStep({ job }: { readonly job: Job }) {
  const title = useRef<HTMLHeadingElement>(null);
  useEffect(() => title.current?.focus(), []);
  const all = sidesInProposal.value;
  const used = all.filter(({ isUsed }) => isUsed);
  const scale = scaleInProposal.value;
  return (
    <form
      class="start-step"
      onSubmit={(event) => {
        event.preventDefault();
        if (used.length > 0) void setUpSides();
      }}
    >
      <header class="start-head">
        <h2 id="start-title" ref={title} tabIndex={-1}>
          {used.length === 0 ? 'No side yet' : `${proposalText(used, scale, job.displayUnit)}. Right?`}
        </h2>
        <div class="start-acts">
          <Button isPrimary isSubmit isDisabled={used.length === 0}>
            {used.length === 1 ? 'Yes, set up 1 side' : `Yes, set up ${used.length} sides`}
          </Button>
          <Button onClick={closeStart}>Draw the sides by hand</Button>
        </div>
        <p class="quiet" role="status">
          {isArtworkRead.value
            ? 'The pages are read. Next come panel layouts for all sides.'
            : 'Reading the lettering of the pages…'}
        </p>
      </header>
      {wrongWaysSeen.value.map(({ code, message, remedy }) => (
        <div key={code + message} class="finding warn">
          <div>
            <strong>Look at this first</strong>
            <p>{message}</p>
            <p class="quiet">{remedy}</p>
          </div>
        </div>
      ))}
      <ScaleChoice />
      <ul class="start-sides">
        {all.map((side) => (
          <SideChoice key={side.key} job={job} side={side} scale={scale} />
        ))}
      </ul>
      {artworkFacts.value?.problems.map(({ page, message, remedy }) => (
        <p key={page} class="field-problem">
          {message} {remedy}
        </p>
      ))}
    </form>
  );
}

function ScaleChoice() {
  const [scale, read] = [scaleInProposal.value, scaleRead.value];
  // Other scales that also fit a vehicle get a button only where no better one is known.
  const isGuessed = read.evidence.kind === 'vehicle';
  const others = [read, ...read.others]
    .filter((each) => each.scale !== scale && (isGuessed || each.evidence.kind !== 'vehicle'))
    .slice(0, 4);
  return (
    <div class="start-scale">
      <SelectField
        label="Kind of vehicle"
        value={kindInProposal.value}
        options={VEHICLE_KIND_CHOICES}
        onChange={sayKind}
      />
      <NumberField label="The drawing is 1 to" value={scale} onChange={sayScale} />
      <p>{scaleReasonText(scale, read)}</p>
      <div class="buttons">
        {others.map((other) => (
          <Button
            key={other.scale}
            title={scaleReasonText(other.scale, read)}
            onClick={() => void sayScale(other.scale)}
          >
            Use {scaleText(other.scale)}
          </Button>
        ))}
        <Button
          title="Click two points, then type the tape’s distance"
          onClick={() => {
            const [first] = artworkFacts.value?.pages ?? [];
            closeStart();
            if (first) showStage({ kind: 'page', page: first.number });
            takeTool('measure');
          }}
        >
          Measure between two points
        </Button>
      </div>
    </div>
  );
}

interface SideChoiceProps {
  readonly job: Job;
  readonly side: SideInProposal;
  readonly scale: number;
}

function SideChoice({ job, side, scale }: SideChoiceProps) {
  const front = sideProposed(job, side.role).front;
  const options = [
    ...SIDE_ROLES.map((role) => ({ value: role, label: roleName(job, role) })),
    { value: 'none' as const, label: 'Not a side' },
  ];
  return (
    <li class={side.isUsed ? 'start-side' : 'start-side is-left-out'}>
      <p class="start-front" aria-hidden="true">
        <span>{front === 'left' ? '◀ FRONT' : ''}</span>
        <span>{front === 'right' ? 'FRONT ▶' : ''}</span>
      </p>
      <PartPicture job={job} side={side} />
      <div class="start-side-words">
        <SelectField<SideRole | 'none'>
          label={`Page ${side.page} shows`}
          value={side.isUsed ? side.role : 'none'}
          options={options}
          onChange={(role) => sayRole(side.key, role)}
        />
        <p>
          {side.isUsed
            ? `${finishedText(side.rect, scale, job.displayUnit)}${front === 'none' ? '' : `, front at the ${front}`}`
            : 'Stays out of the job.'}
        </p>
      </div>
    </li>
  );
}

const roleName = (job: Job, role: SideRole): string =>
  role === 'other' ? 'Another side' : sideProposed(job, role).name;

function PartPicture({ job, side }: Pick<SideChoiceProps, 'job' | 'side'>) {
  const [picture, setPicture] = useState<PictureBytes | null>();
  const reference = job.artwork;
  useEffect(() => {
    if (!reference) return;
    const abort = new AbortController();
    const request = {
      reference,
      page: side.page,
      window: storedFromRect(side.rect),
      widthPx: PICTURE_PX,
    };
    void ask('artwork:picture', request, { signal: abort.signal }).then((answer) => {
      if (!abort.signal.aborted) setPicture(answer.ok ? answer.value : null);
    });
    return () => abort.abort();
  }, [reference?.sha256, reference?.box, side.key]);
  return <Picture picture={picture} label={`Page ${side.page}: ${side.name}`} className="start-picture" />;
}
