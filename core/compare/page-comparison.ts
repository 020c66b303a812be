/** Compares two pages object by object, and the samples of the pictures that both have. */
import type { SourceBox } from '../pdf/page/page-space.ts';
import type { SampleTools } from '../verify/structure/samples-comparison.ts';
import { type ObjectChanges, objectChanges } from './object-changes.ts';
import { boxOfPart, type ComparedArtwork, type PageObjects } from './page-objects.ts';
import { type PictureOfFile, type SampleChanges, sampleChanges } from './sample-changes.ts';

/** A change on a page, in user space of the page. */
export interface ChangedBox {
  readonly box: SourceBox;
  readonly isHidden: boolean;
}

export interface PageComparison {
  readonly before: PageObjects;
  readonly after: PageObjects;
  /** Objects that only one page has, or whose samples are not known to be equal. */
  readonly doubtful: Pick<ObjectChanges, 'before' | 'after'>;
  /** Where the samples of a picture on both pages differ, on the page of the corrected artwork. */
  readonly resampled: readonly ChangedBox[];
  /** How many objects both have. */
  readonly pairCount: number;
}

/** Pictures of two artworks; each pair is compared once, however often it is placed. */
export class ComparedSamples {
  readonly #tools: SampleTools;
  readonly #known = new Map<unknown, Map<unknown, Promise<SampleChanges>>>();

  constructor(tools: SampleTools) {
    this.#tools = tools;
  }

  of(before: PictureOfFile, after: PictureOfFile): Promise<SampleChanges> {
    const others = this.#known.get(before.stream) ?? new Map<unknown, Promise<SampleChanges>>();
    this.#known.set(before.stream, others);
    const known = others.get(after.stream);
    if (known) return known;
    const found = sampleChanges(before, after, this.#tools);
    others.set(after.stream, found);
    return found;
  }
}

export async function pageComparison(
  [one, other]: readonly [before: ComparedArtwork, after: ComparedArtwork],
  [pageBefore, pageAfter]: readonly [before: number, after: number],
  samples: ComparedSamples,
  pause: SampleTools['pause'],
): Promise<PageComparison> {
  const before = await one.objects(pageBefore, pause);
  const after = await other.objects(pageAfter, pause);
  const changes = objectChanges(before, after);
  const doubtful = { before: [...changes.before], after: [...changes.after] };
  const resampled: ChangedBox[] = [];
  for (const [a, b] of changes.pairs) {
    const [was, is] = [before.images.get(a), after.images.get(b)];
    if (!was || !is) continue;
    const found = await samples.of(
      { file: one.artwork.file, stream: was.stream },
      { file: other.artwork.file, stream: is.stream },
    );
    if (found.kind === 'unknown') {
      doubtful.before.push(a);
      doubtful.after.push(b);
    }
    if (found.kind !== 'changed') continue;
    const isHidden = after.hidden[b] === 1;
    for (const part of found.parts) resampled.push({ box: boxOfPart(part, is), isHidden });
  }
  return { before, after, doubtful, resampled, pairCount: changes.pairs.length };
}
