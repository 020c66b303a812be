/** The layouts side by side: a picture of each, and a row for each figure. */
import { useMemo } from 'preact/hooks';
import type { Job, Side } from '../../core/job/schema.ts';
import { sideSaid } from '../../core/job/vehicles.ts';
import { outputSizeText } from '../../core/layout/output-size.ts';
import { sideLayout } from '../../core/layout/side-layout.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import type { PlanAnswer, PlanOffer } from '../../core/seams/plan-answer.ts';
import { Button } from '../parts/button.tsx';
import type { SideArtwork } from '../parts/side-artwork.ts';
import { TermText } from '../parts/term.tsx';
import { isReadOnly, pageExtents } from '../state/open-job.ts';
import type { CardPath } from './card-fields.ts';
import { figureRows, isBestOf, rowsToShow } from './figure-rows.ts';
import { planDrawing } from './plan-drawing.ts';
import { PlanPicture } from './plan-picture.tsx';
import { chooseOffer, chosenOffer, isLayoutSame, offers, takePlan } from './plan-state.ts';
import { brokenTexts, offerName, type PlanUnits } from './plan-words.ts';
import { isPrintedBothWays } from './print-directions.ts';

const PICTURE_PX = { widthPx: 250, heightPx: 120 };

interface PlanTableProps {
  readonly job: Job;
  readonly side: Side;
  readonly equalVertical: PlanAnswer['equalVertical'];
  readonly artwork: SideArtwork | undefined;
  readonly units: PlanUnits;
  /** Shows the cost card figures behind a row. */
  onInputs(inputs: readonly CardPath[]): void;
}

export function PlanTable({ job, side, equalVertical, artwork, units, onInputs }: PlanTableProps) {
  const plans = offers.value;
  const figures = plans.map((plan) => plan.figures);
  const bothWays = useMemo(() => plans.map((plan) => isPrintedBothWays(job, side, plan)), [job, side, plans]);
  // A layout that breaks limits does not compete with those that keep them.
  const fair = plans
    .filter((plan) => plan !== equalVertical || equalVertical.broken.length === 0)
    .map((plan) => plan.figures);
  const rows = rowsToShow(figureRows(units), figures);
  const marked = (plan: PlanOffer) => (plan === chosenOffer.value ? { class: 'is-chosen' } : {});
  return (
    <section class="plan-table-scroll" aria-label="Panel layouts side by side" tabIndex={-1}>
      <table class="table plan-table">
        <caption class="screen-reader-only">
          Panel layouts for {side.name}. All but counts and lengths is an estimate.
        </caption>
        <thead>
          <tr>
            <td class="plan-note">
              <p>
                <strong>≈</strong> estimates by the cost card. The name of a row shows what it was worked out
                from.
              </p>
              <p>
                <strong>◆</strong> best of the row
              </p>
            </td>
            {plans.map((plan) => (
              <th key={plan.id} scope="col" {...marked(plan)}>
                <PlanHead job={job} side={side} plan={plan} artwork={artwork} units={units} />
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <tr key={row.name}>
              <th scope="row">
                {row.isEstimate ? (
                  <button
                    type="button"
                    class="row-button"
                    title={`View what “${row.name}” was worked out from`}
                    onClick={() => onInputs(row.inputs)}
                  >
                    {row.name} <span title="an estimate">≈</span>
                  </button>
                ) : (
                  <TermText>{row.name}</TermText>
                )}
              </th>
              {plans.map((plan) => (
                <td key={plan.id} class={plan === chosenOffer.value ? 'number is-chosen' : 'number'}>
                  {fair.includes(plan.figures) && isBestOf(row, plan.figures, fair) && (
                    <span class="plan-best" role="img" aria-label="best">
                      ◆
                    </span>
                  )}{' '}
                  {row.text(plan.figures)}
                </td>
              ))}
            </tr>
          ))}
          <tr>
            <th scope="row">
              <TermText>Panel files</TermText>
            </th>
            {plans.map((plan) => (
              <td key={plan.id} {...marked(plan)}>
                {outputSizeText(plan.outputSize)}
                {outputSizeText(plan.outputSize) !== outputSizeText(job.output.size) &&
                  ', set with the layout'}
              </td>
            ))}
          </tr>
          {bothWays.includes(true) && (
            <tr>
              <th scope="row">Print directions</th>
              {plans.map((plan, index) => (
                <td key={plan.id} {...marked(plan)}>
                  {bothWays[index] ? '▲ two: compare the color of neighbors' : 'one'}
                </td>
              ))}
            </tr>
          )}
          <tr>
            <th scope="row">
              <TermText>Limits broken</TermText>
            </th>
            {plans.map((plan) => (
              <td key={plan.id} {...marked(plan)}>
                <Broken
                  broken={plan === equalVertical ? equalVertical.broken : []}
                  side={side}
                  units={units}
                />
              </td>
            ))}
          </tr>
        </tbody>
      </table>
    </section>
  );
}

interface PlanHeadProps {
  readonly job: Job;
  readonly side: Side;
  readonly plan: PlanOffer;
  readonly artwork: SideArtwork | undefined;
  readonly units: PlanUnits;
}

function PlanHead({ job, side, plan, artwork, units }: PlanHeadProps) {
  const pages = pageExtents.value;
  const drawing = useMemo(
    () => planDrawing(sideLayout(job, { ...side, layout: plan.layout }, pages), PICTURE_PX),
    [job, side, plan, pages],
  );
  const isChosen = plan === chosenOffer.value;
  const name = offerName(plan);
  const width = lengthText(plan.rollWidthMm, units.unit);
  const isOwn = plan.rollWidthMm === units.printer.rollWidthMm;
  const film = isOwn ? '' : ` and the job the roll ${width} wide`;
  const isOnSide = isOwn && isLayoutSame(side, plan.layout, job.scale);
  return (
    <div class="plan-head">
      <button
        type="button"
        class="plan-choose"
        aria-pressed={isChosen}
        title="View its seams and reasons below"
        onClick={() => chooseOffer(plan.id)}
      >
        <span class="plan-name">{name}</span>
        <PlanPicture drawing={drawing} artwork={artwork} label={pictureWords(plan)} />
      </button>
      <p class="plan-roll">
        {isOnSide ? '✓ On the side now' : `Roll ${width} wide${isOwn ? '' : ', and the job changes to it'}`}
      </p>
      <Button
        isPrimary={isChosen && !isOnSide}
        isDisabled={isReadOnly.value || isOnSide}
        title={`Give ${sideSaid(job, side)} the seams of “${name}”${film}; one step of undo`}
        onClick={() => takePlan(plan)}
      >
        Use this layout
      </Button>
    </div>
  );
}

const pictureWords = ({ figures }: PlanOffer): string =>
  `${figures.panels} ${figures.panels === 1 ? 'panel' : 'panels'}, ${figures.seams} ${figures.seams === 1 ? 'seam' : 'seams'}`;

interface BrokenProps {
  readonly broken: NonNullable<PlanAnswer['equalVertical']>['broken'];
  readonly side: Side;
  readonly units: PlanUnits;
}

function Broken({ broken, side, units }: BrokenProps) {
  if (broken.length === 0) return <>none</>;
  return (
    <ul class="plan-broken">
      {brokenTexts(broken, side, units.unit).map((text) => (
        <li key={text}>▲ {text}</li>
      ))}
    </ul>
  );
}
