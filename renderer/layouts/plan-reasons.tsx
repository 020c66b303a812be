/** The selected panel layout, large, with its quiet-line curves; below it, the reason for each seam. */
import { useMemo, useState } from 'preact/hooks';
import type { Job, Side } from '../../core/job/schema.ts';
import { sideLayout } from '../../core/layout/side-layout.ts';
import { decimalText } from '../../core/measure/length-text.ts';
import { firstOf, itemAt } from '../../core/measure/present.ts';
import type { PlanAnswer, PlanOffer } from '../../core/seams/plan-answer.ts';
import type { SeamReason } from '../../core/seams/seam-reasons.ts';
import { quietCurveMost, quietPath } from '../bench/quiet-path.ts';
import { metersText, moneyText } from '../parts/quantity-text.ts';
import type { SideArtwork } from '../parts/side-artwork.ts';
import { pageExtents } from '../state/open-job.ts';
import { LetteringBoxes } from './lettering-list.tsx';
import { planDrawing } from './plan-drawing.ts';
import { PlanShapes } from './plan-picture.tsx';
import {
  hidingText,
  jointText,
  nextBestText,
  offerName,
  type PlanUnits,
  seamMoneyParts,
  seamPlaceText,
  shapeFilmText,
} from './plan-words.ts';

interface PlanReasonsProps {
  readonly job: Job;
  readonly side: Side;
  readonly plan: PlanOffer;
  readonly answer: PlanAnswer;
  readonly artwork: SideArtwork | undefined;
  readonly units: PlanUnits;
}

const LARGE_PX = { widthPx: 880, heightPx: 330 };
const CURVE_PX = 34;
const CURVE_GAP_PX = 3;

/** Seams of a plan are numbered in the order of its reasons. */
const seamIdAt = (index: number): string => `seam-${index + 1}`;

export function PlanReasons({ job, side, plan, answer, artwork, units }: PlanReasonsProps) {
  const [marked, setMarked] = useState<string>();
  return (
    <section class="plan-reasons" aria-labelledby="plan-reasons-title">
      <h3 id="plan-reasons-title">{offerName(plan)}: why its seams are there</h3>
      <LargePicture
        job={job}
        side={side}
        plan={plan}
        answer={answer}
        artwork={artwork}
        units={units}
        marked={marked}
      />
      {plan.reasons.length === 0 ? (
        <p>One panel covers the side: there is no seam.</p>
      ) : (
        <ReasonTable plan={plan} side={side} units={units} onMark={setMarked} />
      )}
    </section>
  );
}

function LargePicture({
  job,
  side,
  plan,
  answer: { quiet },
  artwork,
  units,
  marked,
}: PlanReasonsProps & { readonly marked: string | undefined }) {
  const pages = pageExtents.value;
  const drawing = useMemo(
    () => planDrawing(sideLayout(job, { ...side, layout: plan.layout }, pages), LARGE_PX),
    [job, side, plan, pages],
  );
  const most = quiet && [quietCurveMost(quiet.vertical), quietCurveMost(quiet.horizontal)];
  const room = quiet ? CURVE_PX + CURVE_GAP_PX : 0;
  const shape = { heightPx: CURVE_PX, pxPerMm: drawing.pxPerMm, fromMm: 0, footPx: CURVE_PX };
  return (
    <figure class="plan-figure">
      <svg
        class="plan-picture is-large"
        viewBox={`-1 -1 ${drawing.widthPx + room + 2} ${drawing.heightPx + room + 2}`}
        role="img"
        aria-label={`${offerName(plan)}: ${plan.figures.panels} panels, seams numbered as in the table below`}
      >
        {quiet && most && (
          <>
            <path
              class="quiet-curve"
              transform={`translate(${room} 0)`}
              d={quietPath(quiet.vertical, firstOf(most), { edge: 'top', ...shape })}
            />
            <path
              class="quiet-curve"
              transform={`translate(0 ${room})`}
              d={quietPath(quiet.horizontal, itemAt(most, 1), { edge: 'left', ...shape })}
            />
          </>
        )}
        <g transform={`translate(${room} ${room})`}>
          <PlanShapes drawing={drawing} artwork={artwork} markedSeam={marked} />
          <LetteringBoxes pxPerMm={drawing.pxPerMm} />
          {plan.reasons.map((_, index) => {
            const at = drawing.seams.find(({ id }) => id === seamIdAt(index))?.middle;
            return at && <SeamNumber key={seamIdAt(index)} number={index + 1} at={at} />;
          })}
        </g>
      </svg>
      {quiet && most && (
        <figcaption class="quiet">
          The curves show how much picture a seam must match at each place: low is quiet. Full height stands
          for {metersText(firstOf(most), units.unit)} of full-contrast picture across a vertical seam (above)
          and {metersText(itemAt(most, 1), units.unit)} across a horizontal one (left), read at{' '}
          {decimalText(quiet.vertical.ppi, 1)} pixels an inch of the finished size.
        </figcaption>
      )}
    </figure>
  );
}

function SeamNumber({
  number,
  at,
}: {
  readonly number: number;
  readonly at: { readonly x: number; readonly y: number };
}) {
  return (
    <g class="seam-number" transform={`translate(${at.x} ${at.y})`}>
      <circle r={10} />
      <text y={4}>{number}</text>
    </g>
  );
}

interface ReasonTableProps {
  readonly plan: PlanOffer;
  readonly side: Side;
  readonly units: PlanUnits;
  onMark(seamId: string | undefined): void;
}

function ReasonTable({ plan, side, units, onMark }: ReasonTableProps) {
  return (
    <table class="table reason-table">
      <thead>
        <tr>
          <th scope="col">Seam</th>
          <th scope="col">Where</th>
          <th scope="col">How it hides</th>
          <th scope="col" class="number">
            Costs ≈
          </th>
          <th scope="col">Cheapest other place ≈</th>
        </tr>
      </thead>
      <tbody>
        {plan.reasons.map((reason, index) => {
          const id = seamIdAt(index);
          return (
            <tr key={id} onPointerEnter={() => onMark(id)} onPointerLeave={() => onMark(undefined)}>
              <th scope="row">
                <span class="seam-badge">{index + 1}</span>
              </th>
              <td>
                {seamPlaceText(reason.seam, units.unit)}
                <div class="quiet">{jointText(reason.seam, units.unit)}</div>
              </td>
              <td>
                {hidingText(reason, side)}
                <div class="quiet">{shapeFilmText(reason, units.unit)}</div>
              </td>
              <td class="number">
                <SeamMoney reason={reason} units={units} onMark={(is) => onMark(is ? id : undefined)} />
              </td>
              <td>{nextBestText(reason, units)}</td>
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}

interface SeamMoneyProps {
  readonly reason: SeamReason;
  readonly units: PlanUnits;
  onMark(isMarked: boolean): void;
}

function SeamMoney({ reason, units, onMark }: SeamMoneyProps) {
  const parts = seamMoneyParts(reason, units.currency);
  const total = moneyText(reason.money.total, units.currency);
  if (parts.length === 0) return <>{total}</>;
  return (
    <details class="seam-money" onFocusCapture={() => onMark(true)} onBlurCapture={() => onMark(false)}>
      <summary>{total}</summary>
      <dl class="facts">
        {parts.map(([name, text]) => (
          <div key={name}>
            <dt>{name}</dt>
            <dd>{text}</dd>
          </div>
        ))}
      </dl>
    </details>
  );
}
