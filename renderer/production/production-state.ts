/** What production works out of the job, kept in step with it; and the changes that are made to its settings. */
import { computed, signal } from '@preact/signals';
import { jobSet } from '../../core/job/edits.ts';
import type { Job } from '../../core/job/schema.ts';
import type { Problem, Result } from '../../core/measure/result.ts';
import type { MeasuredCoverage } from '../../core/production/job-coverage.ts';
import {
  type JobProduction,
  jobProductionSettings,
  packItems,
} from '../../core/production/job-production.ts';
import { type RollPlanCheck, rollPlanCheck } from '../../core/rolls/roll-check.ts';
import type { ProductionSettings } from '../../core/shop/production-settings.ts';
import type { PackItem, RollPlacement } from '../../core/shop/rolls.ts';
import { problemShown } from '../state/notices.ts';
import { job, jobEdited, layouts } from '../state/open-job.ts';
import { workSlot } from '../state/work.ts';

/** Edits in quick succession, such as a panel pushed along by keys, are planned once. */
const PLAN_PAUSE_MS = 250;

export const deriving = workSlot();
interface Derived {
  readonly job: Job;
  readonly measured: MeasuredCoverage | undefined;
  readonly production: JobProduction;
}
const derived = signal<Derived | undefined>(undefined);

/** The last that was worked out for the open job; it may lag behind an edit by the time of planning. */
export const production = computed<JobProduction | undefined>(() =>
  derived.value?.job.id === job.value?.id ? derived.value?.production : undefined,
);
export const isUpToDate = computed(() => derived.value?.job === job.value);

let timer: ReturnType<typeof setTimeout> | undefined;
let latest = 0;

/** Works out the job anew, soon; what is under way for an earlier state of it is given up. */
export function productionDeriveSoon(asked: Job, measured: MeasuredCoverage | undefined): void {
  clearTimeout(timer);
  const mine = ++latest;
  if (derived.value?.job === asked && derived.value.measured === measured) return;
  deriving.cancel();
  timer = setTimeout(
    async () => {
      const request = { job: asked, ...(measured && { measured }) };
      const answer = await deriving.run('production:derive', request, 'Laying panels on rolls');
      if (mine !== latest) return;
      if (answer.ok) derived.value = { job: asked, measured, production: answer.value };
      else problemShown(answer.problem);
    },
    production.value ? PLAN_PAUSE_MS : 0,
  );
}

/** The panel under the pointer or keys, where it would lie if it were let go now. */
export const dragged = signal<RollPlacement | undefined>(undefined);
export const chosenPanelId = signal<string | undefined>(undefined);

export const settingsNow = computed<ProductionSettings | undefined>(
  () => job.value && jobProductionSettings(job.value),
);

/** The panels as they are now. One that is dragged is not held to where it was locked. */
export const items = computed<readonly PackItem[]>(() => {
  if (!job.value || !settingsNow.value) return [];
  const lifted = dragged.value?.panelId;
  return packItems(job.value, layouts.value, {
    ...settingsNow.value,
    locked: settingsNow.value.locked.filter(({ panelId }) => panelId !== lifted),
  });
});

/** Where the panels lie: as planned, but for those that were locked elsewhere since, and the one in hand. */
export const placements = computed<readonly RollPlacement[]>(() => {
  const known = new Set(items.value.map(({ panelId }) => panelId));
  const places = new Map<string, RollPlacement>();
  for (const place of production.value?.plan.placements ?? []) places.set(place.panelId, place);
  const rollIds = new Set(production.value?.rolls.map(({ id }) => id));
  for (const place of settingsNow.value?.locked ?? []) {
    if (rollIds.has(place.rollId)) places.set(place.panelId, place);
  }
  if (dragged.value) places.set(dragged.value.panelId, dragged.value);
  return [...places.values()].filter(({ panelId }) => known.has(panelId));
});

/** The plan as it stands on the screen, looked at anew at every move. */
export const liveCheck = computed<RollPlanCheck | undefined>(() => {
  const made = production.value;
  return made && rollPlanCheck(items.value, made.rolls, made.rules, placements.value);
});

export const lockedIds = computed<ReadonlySet<string>>(
  () => new Set(settingsNow.value?.locked.map(({ panelId }) => panelId)),
);

/** Changes settings of production; returns the sentence why not. `undefined` takes a setting out. */
export function productionSet(
  label: string,
  change: { readonly [K in keyof ProductionSettings]?: ProductionSettings[K] | undefined },
  gesture?: string,
): string | undefined {
  return jobEdited(label, (now) => settingsChanged(now, change), {
    isQuiet: true,
    ...(gesture !== undefined && { gesture }),
  })?.message;
}

function settingsChanged(
  now: Job,
  change: Partial<Record<keyof ProductionSettings, unknown>>,
): Result<Job, Problem> {
  const merged = Object.entries({ ...jobProductionSettings(now), ...change }).filter(
    ([, value]) => value !== undefined,
  );
  return jobSet(now, { change: { production: Object.fromEntries(merged) as ProductionSettings } });
}

/** Puts a panel where it stays; the program lays the others around it. */
export function panelLock(place: RollPlacement, label: string, gesture?: string): void {
  const others = settingsNow.value?.locked.filter(({ panelId }) => panelId !== place.panelId) ?? [];
  const refused = productionSet(label, { locked: [...others, place] }, gesture);
  if (refused !== undefined) problemShown(lockRefused(refused));
}

export function panelsUnlock(panelIds: ReadonlySet<string>): void {
  const locked = settingsNow.value?.locked.filter(({ panelId }) => !panelIds.has(panelId)) ?? [];
  productionSet(panelIds.size === 1 ? 'Let a panel go on the roll' : 'Let all panels go on the rolls', {
    locked,
  });
}

export function allLock(): void {
  productionSet('Keep all panels where they lie', { locked: [...placements.value] });
}

const lockRefused = (message: string): Problem => ({
  code: 'place-refused',
  message,
  remedy: 'Put the panel on the film.',
});
