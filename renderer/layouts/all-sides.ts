/**
 * Panel layouts of all sides at once, on each roll that the shop has for the job's printer. A film is printed on one roll,
 * so the rolls are compared by what all sides need on each, and one of them is used.
 */
import { computed, signal } from '@preact/signals';
import { FIRST_FILM_ID, sideFilmId } from '../../core/job/job-films.ts';
import type { Job } from '../../core/job/schema.ts';
import { otherRollWidths } from '../../core/job/shop-profile.ts';
import { sideSaid } from '../../core/job/vehicles.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import { type Problem, type Result, resultOk } from '../../core/measure/result.ts';
import type { Mm } from '../../core/measure/units.ts';
import type { PlanOffer } from '../../core/seams/plan-answer.ts';
import { planTaken } from '../../core/seams/plan-taken.ts';
import { announce } from '../bench/bench-state.ts';
import { editJob, job } from '../state/open-job.ts';
import { shopProfile } from '../state/shop.ts';
import { offersOf as offersIn, offerToBeginWith } from './offer-to-begin-with.ts';
import { chosenOfferOf, keepProposals, type Proposal, suggestLayouts } from './plan-state.ts';

/** What all sides need on one roll. */
export interface RollCompared {
  readonly widthMm: Mm;
  readonly proposals: readonly Proposal[];
  readonly sidesWithoutLayout: number;
  readonly panels: number;
  readonly letteringCrossed: number;
  readonly money: number;
}

const compared = signal<readonly RollCompared[]>([]);
export const rollOfAllSides = signal<Mm | undefined>(undefined);
export const isPlanningAllSides = signal(false);

/** The rolls compared for the open job, the job's roll first. */
export const rollsCompared = computed(() =>
  compared.value.filter(({ proposals: [first] }) => first?.job.id === job.value?.id),
);

/** Shows the layouts of all sides on this roll. */
export function chooseRollOfAllSides(widthMm: Mm): void {
  const roll = rollsCompared.value.find((each) => each.widthMm === widthMm);
  if (!roll) return;
  rollOfAllSides.value = widthMm;
  keepProposals(roll.proposals);
}

/** Requests layouts of all sides, and shows those of the best roll first. */
export async function planAllSides(): Promise<void> {
  const asked = job.value;
  if (!asked) return;
  compared.value = [];
  isPlanningAllSides.value = true;
  const made = await layoutsOnRolls(asked);
  isPlanningAllSides.value = false;
  if (job.value?.id !== asked.id) return;
  // A canceled search is judged by the results found on every roll.
  const most = Math.min(...[...made.values()].map(({ length }) => length));
  compared.value = [...made].map(([widthMm, proposals]) => rollCompared(widthMm, proposals.slice(0, most)));
  const best = compared.value.toSorted(byMerit)[0];
  if (!best || most === 0) return;
  chooseRollOfAllSides(best.widthMm);
  if (most === asked.sides.length) announce(`Panel layouts for ${most} sides are ready.`);
}

async function layoutsOnRolls(asked: Job): Promise<ReadonlyMap<Mm, readonly Proposal[]>> {
  const own = asked.printer.rollWidthMm;
  const rolls = [own, ...otherRollWidths(shopProfile.value, asked.printer)];
  const made = new Map<Mm, Proposal[]>(rolls.map((widthMm) => [widthMm, []]));
  for (const [index, side] of asked.sides.entries()) {
    const what = `Planning ${sideSaid(asked, side)}, side ${index + 1} of ${asked.sides.length}`;
    if (sideFilmId(side) !== FIRST_FILM_ID) {
      // On the side's film, whatever film other sides have.
      const proposal = await suggestLayouts({ sideId: side.id, otherRollWidthsMm: [] }, what);
      if (!proposal) return made;
      for (const proposals of made.values()) proposals.push(proposal);
      keepProposals([proposal]);
      continue;
    }
    // All rolls of a side in a row: its artwork is read once for them.
    for (const [widthMm, proposals] of made) {
      const roll = rolls.length === 1 ? '' : `, on a roll ${lengthText(widthMm, asked.displayUnit)} wide`;
      const proposal = await suggestLayouts(
        { sideId: side.id, rollWidthMm: widthMm, otherRollWidthsMm: [] },
        `${what}${roll}`,
      );
      if (!proposal) return made;
      // The job as at the request; its layouts may be for a roll other than the job's.
      proposals.push({ ...proposal, otherRollWidthsMm: widthMm === own ? [] : [widthMm] });
      if (widthMm === own) keepProposals([proposal]);
    }
  }
  return made;
}

function rollCompared(widthMm: Mm, proposals: readonly Proposal[]): RollCompared {
  const begun = proposals.map(({ answer }) => offerToBeginWith(offersIn(answer)));
  const offers = begun.filter((offer): offer is PlanOffer => offer !== undefined);
  const sum = (figure: (offer: PlanOffer) => number) => offers.reduce((all, offer) => all + figure(offer), 0);
  return {
    widthMm,
    proposals,
    sidesWithoutLayout: begun.length - offers.length,
    panels: sum(({ figures }) => figures.panels),
    letteringCrossed: sum(({ figures }) => figures.letteringCrossed),
    money: sum(({ figures }) => figures.money),
  };
}

/** A layout for every side counts first, whole lettering next, then the cost: as for the layouts of one side. */
const byMerit = (a: RollCompared, b: RollCompared): number =>
  a.sidesWithoutLayout - b.sidesWithoutLayout || a.letteringCrossed - b.letteringCrossed || a.money - b.money;

/** Uses the selected layout of every side that has one: one edit, one undo step. */
export function takeAllPlans(): Problem | undefined {
  const sides = job.value?.sides ?? [];
  const problem = editJob('Use the panel layouts of all sides', (now) =>
    sides.reduce<Result<Job, Problem>>((taken, { id }) => {
      const offer = chosenOfferOf(id);
      return taken.ok && offer ? planTaken(taken.value, id, offer) : taken;
    }, resultOk(now)),
  );
  if (!problem) announce('All sides have their panel layouts.');
  return problem;
}
