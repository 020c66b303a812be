/**
 * Compares two artworks of a job: its current one, and one that is to replace it.
 *
 *     const comparison = await artworksCompared(
 *       { job, artworks: [{ reference, artwork }, { reference: corrected, artwork: opened }] },
 *       { samples, pause, onPanel, draw },
 *     );
 *     comparison.sides[0].panels[0].verdict // 'unchanged'
 */
import type { ArtworkReference, Job, Side } from '../job/schema.ts';
import { storedFromRect } from '../job/stored-rect.ts';
import { panelOutline } from '../layout/panel.ts';
import { jobLayout, type PageExtents, type SideLayout } from '../layout/side-layout.ts';
import { itemAt } from '../measure/present.ts';
import { rectIntersection } from '../measure/rect.ts';
import { LENGTH_TOLERANCE_MM } from '../measure/units.ts';
import {
  type ArtworkComparison,
  COMPARISON_VERSION,
  type ComparedPanel,
  type ComparedSide,
} from '../output/artwork-comparison.ts';
import { type Artwork, artworkPages, pageWithSpace } from '../pdf/document/artwork.ts';
import type { SampleTools } from '../verify/structure/samples-comparison.ts';
import { comparisonRemarks, type PageSize } from './comparison-remarks.ts';
import { ComparedSamples, type PageComparison, pageComparison } from './page-comparison.ts';
import { likeliestPage } from './page-match.ts';
import { ComparedArtwork } from './page-objects.ts';
import {
  type PanelVerdict,
  type SideComparisonTools,
  type SideInArtwork,
  sideCompared,
} from './side-comparison.ts';
import { SidePlace } from './side-place.ts';

export interface ArtworkOfJob {
  readonly reference: ArtworkReference;
  readonly artwork: Artwork;
}

export interface ArtworksToCompare {
  readonly job: Job;
  readonly artworks: readonly [before: ArtworkOfJob, after: ArtworkOfJob];
}

export interface ComparisonTools extends Pick<SideComparisonTools, 'draw' | 'pause'> {
  readonly samples: SampleTools;
  onPanel(label: string, done: number, total: number): void;
}

export async function artworksCompared(
  { job, artworks }: ArtworksToCompare,
  tools: ComparisonTools,
): Promise<ArtworkComparison> {
  const [before, after] = artworks;
  const comparing = new Comparing(job, artworks, tools);
  const moves = await comparing.moves();
  const sides = await comparing.sides(moves);
  const unit = job.displayUnit;
  return {
    format: 'panelwright-comparison',
    version: COMPARISON_VERSION,
    before: before.reference,
    after: after.reference,
    remarks: comparisonRemarks({
      before: pageSizes(before),
      after: pageSizes(after),
      sides: sides.map(({ name, pageBefore, pageAfter }) => ({ name, pageBefore, pageAfter })),
      unit,
    }),
    moves: [...moves].flatMap(([side, page]) => (page === side.page ? [] : [{ sideId: side.id, page }])),
    sides,
  };
}

const pageSizes = ({ artwork, reference }: ArtworkOfJob): (PageSize | undefined)[] =>
  artworkPages(artwork, reference.box).map((page) => (page.ok ? page.value : undefined));

class Comparing {
  readonly #job: Job;
  readonly #references: readonly [ArtworkReference, ArtworkReference];
  readonly #artworks: readonly [ComparedArtwork, ComparedArtwork];
  readonly #tools: ComparisonTools;
  readonly #samples: ComparedSamples;
  readonly #pages = new Map<string, Promise<PageComparison>>();

  constructor(job: Job, artworks: ArtworksToCompare['artworks'], tools: ComparisonTools) {
    this.#job = job;
    this.#references = [artworks[0].reference, artworks[1].reference];
    this.#artworks = [new ComparedArtwork(artworks[0].artwork), new ComparedArtwork(artworks[1].artwork)];
    this.#tools = tools;
    this.#samples = new ComparedSamples(tools.samples);
  }

  /** For each side that has a page, its page in the corrected artwork. */
  async moves(): Promise<ReadonlyMap<Side, number>> {
    const moves = new Map<Side, number>();
    const taken = new Map<number, number>();
    for (const side of this.#job.sides) {
      if (side.page === undefined) continue;
      const known = taken.get(side.page);
      const page = known ?? (await this.#pageFor(side, side.page));
      if (page === undefined) continue;
      taken.set(side.page, page);
      moves.set(side, page);
    }
    return moves;
  }

  async #pageFor(side: Side, page: number): Promise<number | undefined> {
    const before = this.#inArtwork(side, page, 0);
    if (!before) return undefined;
    const [countBefore, count] = this.#artworks.map(({ artwork }) => artwork.pages.length) as [
      number,
      number,
    ];
    return await likeliestPage(page, count, {
      objectsOf: async (pageBefore, pageAfter) =>
        pageBefore > countBefore || pageAfter > count
          ? undefined
          : {
              before: await this.#artworks[0].objects(pageBefore, this.#tools.pause),
              after: await this.#artworks[1].objects(pageAfter, this.#tools.pause),
            },
      draw: async (other, grid, window) => {
        const after = this.#inArtwork(side, other, 1);
        return after && (await this.#tools.draw('pdfium', [before, after], grid, window));
      },
      widthMm: side.artworkRect.widthMm * this.#job.scale,
      heightMm: side.artworkRect.heightMm * this.#job.scale,
    });
  }

  async sides(moves: ReadonlyMap<Side, number>): Promise<ComparedSide[]> {
    const moved = {
      ...this.#job,
      sides: this.#job.sides.map((side) => ({ ...side, page: moves.get(side) })),
    };
    const layouts = [
      jobLayout(this.#job, extentsOf(this.#artworks[0].artwork, this.#references[0])),
      jobLayout(moved, extentsOf(this.#artworks[1].artwork, this.#references[1])),
    ] as const;
    const total = layouts[0].reduce((sum, { panels }) => sum + panels.length, 0);
    let done = 0;
    const onPanel = (label: string) => this.#tools.onPanel(label, done++, total);
    const sides: ComparedSide[] = [];
    for (const [index, layout] of layouts[0].entries()) {
      const page = moves.get(itemAt(this.#job.sides, index));
      sides.push(
        await this.#side(itemAt(this.#job.sides, index), layout, itemAt(layouts[1], index), page, onPanel),
      );
    }
    return sides;
  }

  async #side(
    side: Side,
    layout: SideLayout,
    moved: SideLayout,
    pageAfter: number | undefined,
    onPanel: (label: string) => void,
  ): Promise<ComparedSide> {
    const before = side.page === undefined ? undefined : this.#inArtwork(side, side.page, 0);
    const after = pageAfter === undefined ? undefined : this.#inArtwork(side, pageAfter, 1);
    let verdicts: readonly PanelVerdict[] = [];
    if (before && after) {
      const pages = await this.#compared(before.page, after.page);
      const pair = { sides: [before, after] as const, pages, panels: layout.panels };
      verdicts = await sideCompared(pair, { ...this.#tools, samples: this.#samples, onPanel });
    }
    return {
      sideId: side.id,
      code: layout.side.code,
      name: side.name,
      widthMm: layout.outline.width,
      heightMm: layout.outline.height,
      ...(side.page !== undefined && { pageBefore: side.page }),
      ...(pageAfter !== undefined && { pageAfter }),
      panels: layout.panels.map((panel): ComparedPanel => {
        const outline = panelOutline(panel);
        const verdict = verdicts.find(({ id }) => id === panel.id) ?? notComparable(panel.id);
        const printedAfter = moved.panels.find(({ id }) => id === panel.id)?.printed;
        const isCut = printedAfter !== undefined && !isSamePrinted(panel.printed, printedAfter);
        const told = isCut && verdict.verdict !== 'changed' ? otherSize(verdict, panel.printed) : verdict;
        return {
          panelId: panel.id,
          label: panel.label,
          finishedBox: storedFromRect(panel.net),
          ...(outline && { finishedOutline: outline.map(({ x, y }) => ({ xMm: x, yMm: y })) }),
          printedBox: storedFromRect(panel.printed),
          verdict: told.verdict,
          ...(told.verdict !== 'changed' && told.proof && { proof: told.proof }),
          changedShare: told.changedShare,
          places: told.places.map(storedFromRect),
          reasons: [...told.reasons],
        };
      }),
    };
  }

  #compared(before: number, after: number): Promise<PageComparison> {
    const key = `${before} ${after}`;
    const known = this.#pages.get(key);
    if (known) return known;
    const compared = pageComparison(this.#artworks, [before, after], this.#samples, this.#tools.pause);
    this.#pages.set(key, compared);
    return compared;
  }

  #inArtwork(side: Side, page: number, index: 0 | 1): SideInArtwork | undefined {
    const artwork = this.#artworks[index];
    const { box } = this.#references[index];
    const found = pageWithSpace(artwork.artwork, page, box);
    if (!found.ok) return undefined;
    const { scale } = this.#job;
    return { index, artwork, page, box, scale, place: new SidePlace(side, scale, found.value.space) };
  }
}

const extentsOf = (artwork: Artwork, { box }: ArtworkReference): PageExtents =>
  new Map(
    artworkPages(artwork, box).flatMap((page) =>
      page.ok ? [[page.value.number, page.value.visible] as const] : [],
    ),
  );

const isSamePrinted = (a: SideLayout['outline'], b: SideLayout['outline']): boolean =>
  (['x', 'y', 'width', 'height'] as const).every((key) => Math.abs(a[key] - b[key]) <= LENGTH_TOLERANCE_MM);

const notComparable = (id: string): PanelVerdict => ({
  id,
  verdict: 'changed',
  changedShare: 1,
  places: [],
  reasons: ['One of the two artworks has no page for its side.'],
});

const otherSize = (verdict: PanelVerdict, printed: SideLayout['outline']): PanelVerdict => ({
  ...verdict,
  verdict: 'changed',
  changedShare: 1,
  places: [printed].flatMap((rect) => rectIntersection(rect, printed) ?? []),
  reasons: ['The artwork reaches less far, or farther, past its edge than it did.'],
});
