/** The suggested panel layouts of all sides at once, to use together. */
import { useEffect, useMemo, useRef } from 'preact/hooks';
import { jobProductionSettings } from '../../core/job/job-production-settings.ts';
import type { Job, Side } from '../../core/job/schema.ts';
import { sideCalled, sideSaid } from '../../core/job/vehicles.ts';
import { outputSizeText } from '../../core/layout/output-size.ts';
import { sideLayout } from '../../core/layout/side-layout.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import { filmLengthText } from '../../core/measure/long-length.ts';
import { present } from '../../core/measure/present.ts';
import type { PlanOffer } from '../../core/seams/plan-answer.ts';
import { NOT_KNOWN_WITHOUT_ARTWORK, relaxationText } from '../../core/seams/plan-words.ts';
import { showStage } from '../bench/bench-state.ts';
import {
  chooseRollOfAllSides,
  isPlanningAllSides,
  type RollCompared,
  rollOfAllSides,
  rollsCompared,
  takeAllPlans,
} from '../layouts/all-sides.ts';
import { planDrawing } from '../layouts/plan-drawing.ts';
import { PlanPicture } from '../layouts/plan-picture.tsx';
import {
  chooseOfferOf,
  chosenOfferOf,
  offersOf,
  openPlans,
  type Proposal,
  planning,
  proposalOf,
} from '../layouts/plan-state.ts';
import { brokenTexts, offerName } from '../layouts/plan-words.ts';
import { isPrintedBothWays } from '../layouts/print-directions.ts';
import { Button } from '../parts/button.tsx';
import { moneyText } from '../parts/quantity-text.ts';
import { SelectField } from '../parts/select-field.tsx';
import { useSideArtwork } from '../parts/side-artwork.ts';
import { WorkProgress } from '../parts/work-progress.tsx';
import { pageExtents } from '../state/open-job.ts';
import { showScreen } from '../state/route.ts';
import { closeStart, suggestForAll } from './start-state.ts';

const PICTURE_PX = { widthPx: 620, heightPx: 260 };
const BETWEEN_SIDES = { what: 'Planning', done: 0, total: 1 };

export function LayoutsStep({ job }: { readonly job: Job }) {
  const title = useRef<HTMLHeadingElement>(null);
  useEffect(() => title.current?.focus(), []);
  const progress = planning.progress.value ?? (isPlanningAllSides.value ? BETWEEN_SIDES : undefined);
  const offered = job.sides.filter((side) => chosenOfferOf(side.id) !== undefined);
  const take = (next: 'output' | 'bench') => {
    if (takeAllPlans()) return;
    closeStart();
    if (next === 'output') showScreen({ screen: 'output', jobId: job.id });
  };
  const isReady = !progress && offered.length > 0;
  return (
    <form
      class="start-step"
      onSubmit={(event) => {
        event.preventDefault();
        if (isReady) take('output');
      }}
    >
      <header class="start-head">
        <h2 id="start-title" ref={title} tabIndex={-1}>
          {progress ? 'Panel layouts' : layoutsText(job, offered)}
        </h2>
        <div class="start-acts">
          <Button isPrimary isSubmit isDisabled={!isReady}>
            Use them, go to output
          </Button>
          <Button isDisabled={!isReady} onClick={() => take('bench')}>
            Use them, stay on the bench
          </Button>
          <Button onClick={closeStart}>Cut the sides by hand</Button>
          {!progress && offered.length < job.sides.length && (
            <Button onClick={suggestForAll}>Suggest again</Button>
          )}
        </div>
        {progress ? (
          <WorkProgress progress={progress} onCancel={planning.cancel} />
        ) : (
          <p class="quiet" role="status">
            {offered.length === 0
              ? 'No layout was found.'
              : job.artwork
                ? 'The layouts are ready. Next come the findings and the output.'
                : 'The layouts are ready. Next come the quote and the artwork.'}
          </p>
        )}
      </header>
      {!progress && !job.artwork && offered.length > 0 && <p class="hint">{NOT_KNOWN_WITHOUT_ARTWORK}</p>}
      {!progress && <RollChoice job={job} />}
      <ul class="start-sides">
        {job.sides.map((side) => (
          <SideLayoutChoice key={side.id} job={job} side={side} />
        ))}
      </ul>
    </form>
  );
}

function layoutsText(job: Job, offered: readonly Side[]): string {
  const chosen = offered.map(({ id }) =>
    present(chosenOfferOf(id), 'The layout that is selected for a side'),
  );
  const panels = chosen.reduce((sum, { figures }) => sum + figures.panels, 0);
  const money = chosen.reduce((sum, { figures }) => sum + figures.money, 0);
  if (panels === 0) return 'No panel layout yet';
  const { currency } = jobProductionSettings(job).figures;
  return `${panels} panels for ${offered.length === 1 ? '1 side' : `${offered.length} sides`}, about ${moneyText(money, currency)}. Right?`;
}

/** A job is printed on one roll: which one suits all sides together, where the shop has several. */
function RollChoice({ job }: { readonly job: Job }) {
  const rolls = rollsCompared.value;
  if (rolls.length < 2 || rollOfAllSides.value === undefined) return null;
  return (
    <div class="start-roll">
      <SelectField
        label="Roll for all sides"
        value={String(rollOfAllSides.value)}
        options={rolls.map((roll) => ({ value: String(roll.widthMm), label: rollText(roll, job) }))}
        onChange={(widthMm) => chooseRollOfAllSides(Number(widthMm))}
      />
    </div>
  );
}

function rollText(roll: RollCompared, job: Job): string {
  const { widthMm, sidesWithoutLayout: without, panels, letteringCrossed, money } = roll;
  const { currency } = jobProductionSettings(job).figures;
  return [
    `${lengthText(widthMm, job.displayUnit)} wide: ${countText(panels, 'panel')}`,
    `${countText(letteringCrossed, 'line')} of lettering crossed`,
    `about ${moneyText(money, currency)}`,
    ...(without === 0 ? [] : [`${countText(without, 'side')} without a layout`]),
  ].join(', ');
}

const countText = (count: number, one: string): string =>
  `${count === 0 ? 'no' : count} ${count === 1 ? one : `${one}s`}`;

function SideLayoutChoice({ job, side }: { readonly job: Job; readonly side: Side }) {
  const { code } = sideCalled(job, side);
  const [made, offers, chosen] = [proposalOf(side.id), offersOf(side.id), chosenOfferOf(side.id)];
  return (
    <li class="start-side">
      <h3>{job.vehicles.length === 1 ? `${code} ${side.name}` : sideSaid(job, side)}</h3>
      <OfferPicture job={job} side={side} offer={chosen} />
      {chosen && (
        <div class="start-side-words is-layout">
          <SelectField
            label={`Layout of ${code}`}
            value={chosen.id}
            options={offers.map((offer) => ({ value: offer.id, label: offerName(offer) }))}
            onChange={(id) => chooseOfferOf(side.id, id)}
          />
          <p>{offerText(chosen, job, side)}</p>
          <Button
            onClick={() => {
              closeStart();
              showStage({ kind: 'side', sideId: side.id });
              void openPlans();
            }}
          >
            Compare the layouts of {code}
          </Button>
        </div>
      )}
      {made && <Obstacles made={made} job={job} side={side} chosen={chosen} />}
    </li>
  );
}

function offerText(offer: PlanOffer, job: Job, side: Side): string {
  const { figures, rollWidthMm, outputSize } = offer;
  const { currency } = jobProductionSettings(job).figures;
  return [
    `${countText(figures.panels, 'panel')} on a roll ${lengthText(rollWidthMm, job.displayUnit)} wide`,
    `longest ${filmLengthText(figures.longestFilm, job.displayUnit)}`,
    `${countText(figures.letteringCrossed, 'line')} of lettering crossed`,
    `about ${moneyText(figures.money, currency)}`,
    ...(outputSizeText(outputSize) === outputSizeText(job.output.size)
      ? []
      : [`panel files ${outputSizeText(outputSize)}`]),
    ...(isPrintedBothWays(job, side, offer)
      ? ['printed in two directions: compare the color of neighbors']
      : []),
  ].join(', ');
}

interface ObstaclesProps {
  readonly made: Proposal;
  readonly job: Job;
  readonly side: Side;
  readonly chosen: PlanOffer | undefined;
}

/** Why a side has no layout, or which limits its only possible layout breaks. */
function Obstacles({ made: { answer }, job, side, chosen }: ObstaclesProps) {
  const { outcome, equalVertical } = answer;
  const broken =
    equalVertical && equalVertical === chosen ? brokenTexts(equalVertical.broken, side, job.displayUnit) : [];
  const sentences = [
    ...(outcome.kind === 'problem' ? [`${outcome.message} ${outcome.remedy}`] : []),
    ...(outcome.kind === 'infeasible'
      ? [
          `No layout of ${sideSaid(job, side)} keeps every limit.`,
          ...outcome.relaxations.map((each) => relaxationText(each, side, job.displayUnit)),
        ]
      : []),
    ...broken,
  ];
  if (sentences.length === 0) return null;
  return (
    <div class="finding warn">
      <div>
        {sentences.map((sentence) => (
          <p key={sentence}>{sentence}</p>
        ))}
      </div>
    </div>
  );
}

interface OfferPictureProps {
  readonly job: Job;
  readonly side: Side;
  readonly offer: PlanOffer | undefined;
}

function OfferPicture({ job, side, offer }: OfferPictureProps) {
  const artwork = useSideArtwork(job, side);
  const pages = pageExtents.value;
  const layout = offer?.layout ?? side.layout;
  const drawing = useMemo(
    () => planDrawing(sideLayout(job, { ...side, layout }, pages), PICTURE_PX),
    [job, side, layout, pages],
  );
  return (
    <PlanPicture
      drawing={drawing}
      artwork={artwork}
      label={`${side.name}, ${drawing.panels.length} panels`}
    />
  );
}
