/**
 * From artwork to layouts: what the artwork probably is, the operator's changes, and the current step. It becomes part
 * of the job only when the operator confirms it.
 */
import { computed, effect, signal } from '@preact/signals';
import { sideOfRole } from '../../core/job/edits/side-suggested.ts';
import type { Job, VehicleKind } from '../../core/job/schema.ts';
import { firstVehicle, withFirstKind } from '../../core/job/vehicles.ts';
import { artworkProposal, jobWithSides } from '../../core/proposal/artwork-proposal.ts';
import { pagesSeen } from '../../core/proposal/page-seen.ts';
import type { ScaleProposal } from '../../core/proposal/scale-proposal.ts';
import type { SideProposal, SideRole } from '../../core/proposal/side-proposal.ts';
import { vehicleKindProposed } from '../../core/proposal/vehicle-kind.ts';
import { type WrongWay, wrongWays } from '../../core/proposal/wrong-ways.ts';
import { measures, showStage } from '../bench/bench-state.ts';
import { planAllSides } from '../layouts/all-sides.ts';
import { artworkFacts, editJob, isReadOnly, job } from '../state/open-job.ts';

/** The operator's changes to the proposal, and the artwork they apply to. */
interface Changes {
  readonly artwork: string;
  readonly scale?: number;
  readonly kind?: VehicleKind;
  readonly roles: ReadonlyMap<string, SideRole | 'none'>;
}

const changes = signal<Changes>({ artwork: '', roles: new Map() });
/** Jobs whose sides are drawn by hand. */
const byHand = signal<ReadonlySet<string>>(new Set());
const choosingLayoutsOf = signal<string | undefined>(undefined);

export type StartStep = 'sides' | 'layouts';

export const startStep = computed<StartStep | undefined>(() => {
  const current = job.value;
  if (!current || isReadOnly.value) return undefined;
  if (current.sides.length > 0) return choosingLayoutsOf.value === current.id ? 'layouts' : undefined;
  const isKnown = artworkFacts.value?.reference.sha256 === current.artwork?.sha256;
  return current.artwork && isKnown && !byHand.value.has(current.id) ? 'sides' : undefined;
});

/** Whether the pages were scanned: until then only their boxes are known. */
export const isArtworkRead = computed(() => artworkFacts.value?.scan !== undefined);

const pages = computed(() => (artworkFacts.value ? pagesSeen(artworkFacts.value) : []));

const proposal = computed(() => artworkProposal(pages.value));

const changesNow = computed<Changes>(() => {
  const artwork = artworkFacts.value?.reference.sha256 ?? '';
  return changes.value.artwork === artwork ? changes.value : { artwork, roles: new Map() };
});

export const kindInProposal = computed<VehicleKind>(() => {
  const current = job.value;
  const said = changesNow.value.kind ?? vehicleKindProposed(current?.name ?? '', pages.value);
  return said ?? (current ? firstVehicle(current).kind : 'other');
});

export function sayKind(kind: VehicleKind): void {
  changes.value = { ...changesNow.value, kind };
}

/** What a side of the proposed vehicle is called. */
export const sideProposed = (current: Job, role: SideRole): ReturnType<typeof sideOfRole> =>
  sideOfRole(withFirstKind(current, kindInProposal.value), role);

/** Identified by place on the pages: later scans may change what a side is, but not where it is. */
const sideKey = ({ page, rect }: Pick<SideProposal, 'page' | 'rect'>): string =>
  [page, ...[rect.x, rect.y, rect.width, rect.height].map((mm) => Math.round(mm))].join(' ');

export interface SideInProposal extends Omit<SideProposal, 'role'> {
  readonly key: string;
  readonly role: SideRole;
  /** Whether it becomes a side. */
  readonly isUsed: boolean;
  readonly name: string;
}

export const sidesInProposal = computed<readonly SideInProposal[]>(() => {
  const current = job.value;
  if (!current) return [];
  return proposal.value.sides.map((side) => {
    const key = sideKey(side);
    const said = changesNow.value.roles.get(key);
    const role = said === undefined || said === 'none' ? side.role : said;
    return { ...side, key, role, isUsed: said !== 'none', name: sideProposed(current, role).name };
  });
});

/** A tape measurement takes precedence over the pages, and a typed value over both. */
export const scaleInProposal = computed<number>(() => {
  const measured = measures.value.some(({ finishedMm }) => finishedMm !== undefined);
  return changesNow.value.scale ?? (measured ? job.value?.scale : undefined) ?? proposal.value.scale.scale;
});

export const scaleRead = computed<ScaleProposal>(() => proposal.value.scale);

export const wrongWaysSeen = computed<readonly WrongWay[]>(() =>
  wrongWays(
    pages.value,
    sidesInProposal.value.filter(({ isUsed }) => isUsed),
    proposal.value.scale,
  ),
);

export function sayScale(scale: number): string | undefined {
  if (!(scale > 0 && scale <= 1000)) return 'Give a number between 0 and 1000.';
  changes.value = { ...changesNow.value, scale };
  return undefined;
}

export function sayRole(key: string, role: SideRole | 'none'): void {
  changes.value = { ...changesNow.value, roles: new Map(changesNow.value.roles).set(key, role) };
}

/** Makes the sides, and suggests panel layouts for all of them. */
export async function setUpSides(): Promise<void> {
  const current = job.value;
  if (!current) return;
  const agreed = {
    scale: scaleInProposal.value,
    kind: kindInProposal.value,
    sides: sidesInProposal.value.filter(({ isUsed }) => isUsed),
  };
  if (editJob('Set up the sides', (now) => jobWithSides(now, agreed))) return;
  showStage({ kind: 'all' });
  await suggestForAll();
}

/** Panel layouts for all sides at once, beside each other. */
export async function suggestForAll(): Promise<void> {
  choosingLayoutsOf.value = job.value?.id;
  await planAllSides();
}

export function closeStart(): void {
  const current = job.value;
  choosingLayoutsOf.value = undefined;
  if (current && current.sides.length === 0) byHand.value = new Set(byHand.value).add(current.id);
}

/** Shows the proposal again after a manual start. */
export function proposeSides(): void {
  byHand.value = new Set([...byHand.value].filter((id) => id !== job.value?.id));
}

/** A job that was left begins at its bench when reopened; called once. */
export function followStart(): void {
  effect(() => {
    const open = job.value?.id;
    if (choosingLayoutsOf.peek() !== undefined && choosingLayoutsOf.peek() !== open) {
      choosingLayoutsOf.value = undefined;
    }
  });
}
