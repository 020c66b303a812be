/** For each panel of an output: whether the job would print it the same way now, and if not, why. */
import type { Job } from '../job/schema.ts';
import type { Panel } from '../layout/panel.ts';
import { listText } from '../measure/list-text.ts';
import { isGoodForArtwork, isOutlineOf, isPlacedAsCut, type OutputPanels } from './older-outputs.ts';

/** A panel of an output, as named in its files. */
interface WrittenPanel {
  readonly panelId?: string | undefined;
  readonly panelLabel?: string | undefined;
}

type Standing = 'good' | 'refused' | 'artwork' | 'not-compared' | 'moved' | 'layout' | 'gone';

/** In list order. */
const WORDS: Readonly<Record<Standing, string>> = {
  good: 'still good',
  artwork: 'of older artwork, changed since',
  'not-compared': 'of older artwork, not compared with the present one',
  moved: 'of another place of the side on its artwork page',
  layout: 'of an older panel layout',
  refused: 'not released: the verification failed',
  gone: 'no longer in the job',
};

/** CA9 One line for each standing of panels in the output: `LH-01 and LH-02: still good`. */
export function panelsStanding(
  {
    job,
    panels,
  }: { readonly job: Pick<Job, 'artwork' | 'sides' | 'scale'>; readonly panels: readonly Panel[] },
  output: { readonly number: number; readonly files: readonly WrittenPanel[] },
  cut: readonly OutputPanels[],
): string[] {
  const now = new Map(panels.map((panel) => [panel.id, panel]));
  const told = new Map<string, string[]>();
  for (const { panelId, panelLabel } of output.files) {
    if (panelId === undefined || panelLabel === undefined) continue;
    const last = cut.find((each) => each.panels.some((panel) => panel.panelId === panelId));
    const written = last?.panels.find((panel) => panel.panelId === panelId);
    if (!last || !written) continue;
    const words =
      last.number === output.number
        ? WORDS[standing(job, now.get(panelId), last, written)]
        : `written again in Output ${last.number}`;
    told.set(words, [...(told.get(words) ?? []), panelLabel]);
  }
  const order = Object.values(WORDS);
  return [...told]
    .toSorted(([a], [b]) => place(order, a) - place(order, b))
    .map(([words, labels]) => `${listText([...new Set(labels)])}: ${words}`);
}

const place = (order: readonly string[], words: string): number => {
  const index = order.indexOf(words);
  return index < 0 ? order.length : index;
};

function standing(
  job: Pick<Job, 'artwork' | 'sides' | 'scale'>,
  now: Panel | undefined,
  { comparedWith, artworkSha256, isRefused }: Omit<OutputPanels, 'panels'>,
  cut: OutputPanels['panels'][number],
): Standing {
  if (!now) return 'gone';
  if (isRefused) return 'refused';
  if (!isOutlineOf(cut, now)) return 'layout';
  if (!isPlacedAsCut(job, cut)) return 'moved';
  if (isGoodForArtwork(job, cut)) return 'good';
  const sha256 = job.artwork?.sha256;
  const isCompared = sha256 === artworkSha256 || (sha256 !== undefined && comparedWith?.includes(sha256));
  return isCompared ? 'artwork' : 'not-compared';
}
