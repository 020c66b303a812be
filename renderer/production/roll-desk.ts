/**
 * Panels on rolls while they are moved: where each is now, what is wrong with that, and what moving, locking and
 * unlocking do. The nesting of one job and one that several jobs share each have a desk.
 */
import { computed, type ReadonlySignal, type Signal, signal } from '@preact/signals';
import type { Finding } from '../../core/findings/finding.ts';
import { type RollPlanCheck, rollPlanCheck } from '../../core/rolls/roll-check.ts';
import type { RollPlan } from '../../core/rolls/roll-plan.ts';
import type { PackItem, RollPlacement, RollRules, RollStock } from '../../core/shop/rolls.ts';
import { showProblem } from '../state/notices.ts';

/** The last nesting: on which rolls and by which rules. */
export interface RollsLaid {
  readonly rolls: readonly RollStock[];
  readonly rules: RollRules;
  readonly plan: RollPlan;
  /** Whether the shop has entered the rolls that it has; else only those in use and a free one are shown. */
  readonly areRollsEntered: boolean;
}

export interface RollSource {
  readonly laid: ReadonlySignal<RollsLaid | undefined>;
  /** The panels as they are now. */
  readonly panels: ReadonlySignal<readonly PackItem[]>;
  /** Where the operator has placed panels to stay; it may be ahead of the last nesting. */
  readonly locked: ReadonlySignal<readonly RollPlacement[]>;
  readonly isReadOnly: ReadonlySignal<boolean>;
  /** Takes new places to stay in; returns the sentence why not. Changes of one `gesture` are one step of undo. */
  setLocked(label: string, locked: readonly RollPlacement[], gesture?: string): string | undefined;
}

export interface RollDesk {
  readonly laid: ReadonlySignal<RollsLaid | undefined>;
  readonly isReadOnly: ReadonlySignal<boolean>;
  /** The panel under the pointer, where it would lie if it were let go now. */
  readonly dragged: Signal<RollPlacement | undefined>;
  readonly chosenPanelId: Signal<string | undefined>;
  /** One that is dragged is not held to where it was locked. */
  readonly items: ReadonlySignal<readonly PackItem[]>;
  /** As nested, except for panels that were locked elsewhere since, and the one being moved. */
  readonly placements: ReadonlySignal<readonly RollPlacement[]>;
  /** The nesting as shown on the screen, checked again after each move. */
  readonly liveCheck: ReadonlySignal<RollPlanCheck | undefined>;
  /**
   * What is wrong with the present nesting, and why nesting left panels out. `isSettled`: no nesting is under way, so a
   * panel without a place will not get one by itself.
   */
  findings(isSettled: boolean): Finding[];
  readonly lockedIds: ReadonlySignal<ReadonlySet<string>>;
  /** Puts a panel where it stays; the program lays the others around it. */
  lockPanel(place: RollPlacement, label: string, gesture?: string): void;
  unlockPanels(panelIds: ReadonlySet<string>): void;
  lockAll(): void;
}

export function rollDesk(source: RollSource): RollDesk {
  const { laid, panels, locked, isReadOnly, setLocked } = source;
  const dragged = signal<RollPlacement | undefined>(undefined);

  const items = computed<readonly PackItem[]>(() => {
    const lifted = dragged.value?.panelId;
    const places = new Map(locked.value.map(({ panelId, ...place }) => [panelId, place]));
    return panels.value.map(({ locked: _, ...panel }) => {
      const place = panel.panelId === lifted ? undefined : places.get(panel.panelId);
      return place ? { ...panel, locked: place } : panel;
    });
  });

  const placements = computed<readonly RollPlacement[]>(() => {
    const known = new Set(panels.value.map(({ panelId }) => panelId));
    const places = new Map<string, RollPlacement>();
    for (const place of laid.value?.plan.placements ?? []) places.set(place.panelId, place);
    const rollIds = new Set(laid.value?.rolls.map(({ id }) => id));
    for (const place of locked.value) if (rollIds.has(place.rollId)) places.set(place.panelId, place);
    if (dragged.value) places.set(dragged.value.panelId, dragged.value);
    return [...places.values()].filter(({ panelId }) => known.has(panelId));
  });

  const liveCheck = computed(() => {
    const { rolls, rules } = laid.value ?? {};
    return rolls && rules && rollPlanCheck(items.value, rolls, rules, placements.value);
  });

  return {
    laid,
    isReadOnly,
    dragged,
    chosenPanelId: signal<string | undefined>(undefined),
    items,
    placements,
    liveCheck,
    findings: (isSettled) =>
      laid.value && liveCheck.value ? findingsNow(laid.value.plan, liveCheck.value.findings, isSettled) : [],
    lockedIds: computed(() => new Set(locked.value.map(({ panelId }) => panelId))),
    lockPanel(place, label, gesture) {
      const others = locked.value.filter(({ panelId }) => panelId !== place.panelId);
      const refused = setLocked(label, [...others, place], gesture);
      if (refused === undefined) return;
      showProblem({ code: 'place-refused', message: refused, remedy: 'Place the panel on the film.' });
    },
    unlockPanels(panelIds) {
      const label = panelIds.size === 1 ? 'Unlock a panel on the roll' : 'Unlock all panels on the rolls';
      setLocked(
        label,
        locked.value.filter(({ panelId }) => !panelIds.has(panelId)),
      );
    },
    lockAll() {
      setLocked('Lock all panels on the rolls', placements.value);
    },
  };
}

/** What only nesting can find: why a panel has no place. */
const PLANNING_CODES: ReadonlySet<string> = new Set([
  'roll-none',
  'roll-panel-too-wide',
  'roll-panel-over-longest-print',
  'roll-panel-too-long',
  'roll-nothing-left',
  'roll-side-two-directions',
]);

/** Found by looking at how the panels could print at all, and not at where they lie. */
const ANYWHERE_CODES: ReadonlySet<string> = new Set(['roll-side-mixed-directions']);

/** The present settings of the rolls replace those at the time of nesting. */
function findingsNow(
  plan: Pick<RollPlan, 'findings' | 'unplacedPanelIds'>,
  live: readonly Finding[],
  isSettled: boolean,
): Finding[] {
  const unlaid = plan.findings.filter(
    ({ code, where }) =>
      PLANNING_CODES.has(code) && (!where.panelId || plan.unplacedPanelIds.includes(where.panelId)),
  );
  // Why a panel lies nowhere says more than that it does.
  const told = new Set(unlaid.map(({ where }) => where.panelId));
  const isTold = (panelId: string | undefined) => !isSettled || told.has(undefined) || told.has(panelId);
  return [
    ...live.filter(({ code, where }) => code !== 'roll-panel-without-place' || !isTold(where.panelId)),
    ...unlaid,
    ...plan.findings.filter(({ code }) => ANYWHERE_CODES.has(code)),
  ];
}
