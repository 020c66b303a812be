/** The suggested layouts of each side with their request, stored while the job is open. */
import { computed, effect, signal } from '@preact/signals';
import { itemAdd } from '../../core/job/edits/edits.ts';
import { jobCostCard } from '../../core/job/job-cost-card.ts';
import { jobOnFilm, jobWithPrinter, sideFilmId } from '../../core/job/job-films.ts';
import { regionJoints, regionsPlaced } from '../../core/job/region.ts';
import type { Job, Region, Side } from '../../core/job/schema.ts';
import { otherRollWidths } from '../../core/job/shop-profile.ts';
import { sideOutline } from '../../core/job/side-outline.ts';
import { rectFromStored, storedFromRect } from '../../core/job/stored-rect.ts';
import { sideSaid } from '../../core/job/vehicles.ts';
import { rectArea, rectIntersection } from '../../core/measure/rect.ts';
import type { Mm } from '../../core/measure/units.ts';
import { planTakenCheaper } from '../../core/seams/cheaper-film.ts';
import type { LetteringBox } from '../../core/seams/lettering-boxes.ts';
import type { PlanAnswer, PlanOffer } from '../../core/seams/plan-answer.ts';
import { planTaken } from '../../core/seams/plan-taken.ts';
import { announce, sideInHand, stage } from '../bench/bench-state.ts';
import { quietOnBench } from '../bench/quiet-path.ts';
import { showProblem } from '../state/notices.ts';
import { editJob, job } from '../state/open-job.ts';
import { shopProfile } from '../state/shop.ts';
import { workSlot } from '../state/work.ts';
import { offersOf as offersIn, offerToBeginWith } from './offer-to-begin-with.ts';
import { offerName } from './plan-words.ts';
import { MOST_WIDTHS } from './roll-widths.ts';

export interface Proposal {
  /** The job at the time of the request. */
  readonly job: Job;
  readonly sideId: string;
  readonly layouts: 'sections' | 'one-way';
  readonly otherRollWidthsMm: readonly Mm[];
  readonly answer: PlanAnswer;
}

export const planning = workSlot();
export const arePlansOpen = signal(false);
export const planLayouts = signal<'sections' | 'one-way'>('sections');
/** Typed roll widths besides those of the shop, true widths. */
export const typedRollWidthsMm = signal<readonly Mm[]>([]);
/** Rolls of the shop that were ticked or cleared by hand. */
const tickedRolls = signal<ReadonlyMap<Mm, boolean>>(new Map());

const proposals = signal<readonly Proposal[]>([]);
const chosenPlans = signal<ReadonlyMap<string, PlanOffer['id']>>(new Map());
const droppedLettering = signal<ReadonlySet<LetteringBox>>(new Set());

/** Layouts suggested for a side of the open job. */
export const proposalOf = (wanted: string | undefined): Proposal | undefined =>
  proposals.value.find(({ sideId, job: { id } }) => sideId === wanted && id === job.value?.id);

/** The plans of a side, equal vertical panels last. */
export function offersOf(sideId: string | undefined): readonly PlanOffer[] {
  const answer = proposalOf(sideId)?.answer;
  return answer ? offersIn(answer) : [];
}

export function chosenOfferOf(sideId: string | undefined): PlanOffer | undefined {
  const id = chosenPlans.value.get(sideId ?? '');
  const all = offersOf(sideId);
  return all.find((offer) => offer.id === id) ?? offerToBeginWith(all);
}

export function chooseOfferOf(sideId: string, id: PlanOffer['id']): void {
  chosenPlans.value = new Map(chosenPlans.value).set(sideId, id);
}

/**
 * Other rolls of the shop for the job's printer. A job has one roll: others are used without asking only while no other
 * side has panels, because those would not fit another roll.
 */
export function shopRolls(now: Job, sideId: string): readonly { widthMm: Mm; isUsed: boolean }[] {
  const isFree = now.sides.every(({ id, layout }) => id === sideId || layout.kind === 'panel');
  const side = now.sides.find(({ id }) => id === sideId);
  const { printer } = side ? jobOnFilm(now, sideFilmId(side)) : now;
  return otherRollWidths(shopProfile.value, printer).map((widthMm) => ({
    widthMm,
    isUsed: tickedRolls.value.get(widthMm) ?? isFree,
  }));
}

export function tickRoll(widthMm: Mm, isUsed: boolean): void {
  tickedRolls.value = new Map(tickedRolls.value).set(widthMm, isUsed);
}

/** Other rolls to request layouts of a side for. */
const otherRollsAsked = (now: Job, sideId: string): readonly Mm[] => [
  ...new Set([
    ...shopRolls(now, sideId).flatMap(({ widthMm, isUsed }) => (isUsed ? [widthMm] : [])),
    ...typedRollWidthsMm.value,
  ]),
];

export const proposal = computed(() => proposalOf(sideInHand.value?.id));
export const offers = computed(() => offersOf(sideInHand.value?.id));
export const chosenOffer = computed(() => chosenOfferOf(sideInHand.value?.id));

export function chooseOffer(id: PlanOffer['id']): void {
  const side = sideInHand.value;
  if (side) chooseOfferOf(side.id, id);
}

/** Shows the layouts of the current side; requests them where there are none yet. */
export async function openPlans(): Promise<void> {
  arePlansOpen.value = true;
  if (!proposal.value) await proposePlans();
}

export function closePlans(): void {
  arePlansOpen.value = false;
}

/** Requests layouts of the current side; an answer for a job that was left meanwhile is dropped. */
export async function proposePlans(): Promise<void> {
  const side = sideInHand.value;
  if (!side) return;
  arePlansOpen.value = true;
  const now = job.value;
  if (!now) return;
  const asked = { sideId: side.id, otherRollWidthsMm: otherRollsAsked(now, side.id) };
  const made = await suggestLayouts(asked, `Planning ${sideSaid(now, side)}`);
  if (!made) return;
  keepProposals([made]);
  const { outcome } = made.answer;
  if (outcome.kind === 'plans') announce(`${outcome.plans.length} panel layouts for ${sideSaid(now, side)}`);
}

interface LayoutsAsked {
  readonly sideId: string;
  /** The roll in the printer; absent: that of the job. */
  readonly rollWidthMm?: Mm;
  readonly otherRollWidthsMm: readonly Mm[];
}

/** Undefined where it was canceled or failed, or was for a job that is no longer open. */
export async function suggestLayouts(
  { sideId, rollWidthMm, otherRollWidthsMm: others }: LayoutsAsked,
  what: string,
): Promise<Proposal | undefined> {
  const asked = job.value;
  if (!asked) return undefined;
  const layouts = planLayouts.value;
  const side = asked.sides.find(({ id }) => id === sideId);
  const onRoll =
    rollWidthMm === undefined || !side ? asked : jobWithPrinter(asked, sideFilmId(side), { rollWidthMm });
  // As many as the contract takes.
  const otherRollWidthsMm = others.slice(0, MOST_WIDTHS);
  const request = { job: onRoll, sideId, layouts, otherRollWidthsMm };
  const answer = await planning.run('layout:suggest', request, what);
  if (!answer.ok) {
    showProblem(answer.problem);
    return undefined;
  }
  if (job.value?.id !== asked.id) return undefined;
  return { job: asked, sideId, layouts, otherRollWidthsMm, answer: answer.value };
}

/** Each replaces the earlier suggestion for its side. */
export function keepProposals(made: readonly Proposal[]): void {
  const others = proposals.value.filter(
    (earlier) => !made.some(({ job: { id }, sideId }) => id === earlier.job.id && sideId === earlier.sideId),
  );
  proposals.value = [...others, ...made];
}

/** Gives the rulers of the bench the quiet lines of the current side; called once. */
export function followQuietLines(): void {
  effect(() => {
    const here = stage.value;
    const isOfSide = here.kind === 'side' && proposal.value?.sideId === here.sideId;
    quietOnBench.value = isOfSide ? proposal.value?.answer.quiet : undefined;
  });
}

/**
 * Whether the inputs of the layouts have changed since. The layout itself does not count, because using a suggestion
 * changes it.
 */
export function isProposalStale(made: Proposal, now: Job): boolean {
  const sideOf = ({ sides }: Job) => sides.find(({ id }) => id === made.sideId);
  const [sideThen, sideNow] = [sideOf(made.job), sideOf(now)];
  if (!sideThen || !sideNow) return true;
  const then = jobOnFilm(made.job, sideFilmId(sideThen));
  const present = jobOnFilm(now, sideFilmId(sideNow));
  return (
    sideInputs.some((key) => sideThen[key] !== sideNow[key]) ||
    jobInputs.some((key) => then[key] !== present[key]) ||
    then.output.borderMm !== present.output.borderMm ||
    printerText(then) !== printerText(present) ||
    ![then.printer.rollWidthMm, ...made.otherRollWidthsMm].includes(present.printer.rollWidthMm) ||
    cardPrices(then) !== cardPrices(present) ||
    lockedPlaces(sideThen) !== lockedPlaces(sideNow) ||
    made.layouts !== planLayouts.value
  );
}

/** Whether the ticked rolls differ from those of the suggestion. */
export const areRollsOther = (made: Proposal, now: Job): boolean =>
  made.otherRollWidthsMm.join() !== otherRollsAsked(now, made.sideId).slice(0, MOST_WIDTHS).join();

const sideInputs = [
  'artworkRect',
  'bodyLines',
  'doors',
  'noSeamAreas',
  'ground',
  'noFilmAreas',
  'bleed',
  'front',
  'filmId',
] as const;
const jobInputs = ['scale', 'limits', 'costCard', 'vehicles', 'artwork'] as const;

/** Using a layout also sets its roll, and a file size that holds its panels. */
const printerText = ({ printer }: Job): string => JSON.stringify({ ...printer, rollWidthMm: 0 });

/** Figures that the cost card takes from production. */
const cardPrices = (job: Job): string => {
  const { laborPerHour, filmPerSquareMeter, laminatePerSquareMeter } = jobCostCard(job);
  return [laborPerHour, filmPerSquareMeter, laminatePerSquareMeter].join();
};

const lockedPlaces = ({ layout }: Side): string =>
  regionJoints(layout)
    .filter(({ locked }) => locked)
    .map(({ atMm }) => atMm)
    .join();

const saidInJob = (side: Side): string => (job.value ? sideSaid(job.value, side) : side.code);

/** One edit, one step of undo. */
export function takePlan(offer: PlanOffer): void {
  const side = sideInHand.value;
  if (!side) return;
  const problem = editJob(`Use the layout “${offerName(offer)}”`, (now) => planTaken(now, side.id, offer));
  if (!problem) announce(`${saidInJob(side)} now has the layout “${offerName(offer)}”`);
}

/** The same with its flat panels on the cheaper film of the job. */
export function takePlanCheaper(offer: PlanOffer): void {
  const side = sideInHand.value;
  if (!side) return;
  const name = `Use the layout “${offerName(offer)}” with its flat panels on the cheaper film`;
  const problem = editJob(name, (now) => planTakenCheaper(now, side.id, offer));
  if (!problem) announce(`${saidInJob(side)} now has that layout, its flat panels on the cheaper film`);
}

/** Whether the side already has this layout: the same seams at the same places; ids may differ. */
export function isLayoutSame(side: Side, layout: Region, scale: number): boolean {
  const outline = sideOutline(side, scale);
  const seams = (region: Region) =>
    regionsPlaced(region, outline)
      .flatMap(({ region: each, rect }) =>
        each.kind === 'panel'
          ? []
          : each.joints.map(
              ({ kind, atMm, firstMm, secondMm, top, shape }) =>
                `${each.seams} ${[atMm, firstMm, secondMm, rect.x, rect.y].map(Math.round).join(' ')} ${kind} ${top} ${shape ? 'with shape' : ''}`,
            ),
      )
      .toSorted()
      .join('\n');
  return seams(side.layout) === seams(layout);
}

/** Share of a box that must be inside no-seam areas to count as protected. */
const KEPT_SHARE = 0.6;

/** The no-seam area that already holds a box. */
export const keptClearBy = (side: Side, box: LetteringBox): Side['noSeamAreas'][number] | undefined =>
  side.noSeamAreas.find(({ rect }) => {
    const shared = rectIntersection(rectFromStored<'finished'>(rect), box.rect);
    return shared !== undefined && rectArea(shared) >= KEPT_SHARE * rectArea(box.rect);
  });

export const letteringOffered = computed<readonly LetteringBox[]>(() =>
  (proposal.value?.answer.lettering ?? []).filter((box) => !droppedLettering.value.has(box)),
);

export function dropLettering(box: LetteringBox): void {
  droppedLettering.value = new Set(droppedLettering.value).add(box);
}

/** Makes boxes no-seam areas, in one undo step. */
export function acceptLettering(boxes: readonly LetteringBox[]): void {
  const side = sideInHand.value;
  const all = proposal.value?.answer.lettering ?? [];
  if (!side || boxes.length === 0) return;
  editJob(boxes.length === 1 ? 'Make a no-seam area' : `Make ${boxes.length} no-seam areas`, (now) => {
    let edited: ReturnType<typeof itemAdd> = { ok: true, value: now };
    for (const box of boxes) {
      if (!edited.ok) return edited;
      const item = { name: `Lettering ${all.indexOf(box) + 1}`, rect: storedFromRect(box.rect) };
      edited = itemAdd(edited.value, { sideId: side.id, list: 'noSeamAreas', item });
    }
    return edited;
  });
}
