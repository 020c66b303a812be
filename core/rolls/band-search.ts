import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import {
  type Band,
  type BandItem,
  type BandPacking,
  bandPackingByFit,
  longestFirst,
} from './band-packing.ts';
import type { Effort } from './effort.ts';
import type { RollStretch } from './roll-stretch.ts';

export interface BandSearchResult extends BandPacking {
  /** The search was finished, so no packing of these panels into these stretches is shorter. */
  readonly isShortest: boolean;
}

interface OpenBand {
  readonly stretch: number;
  readonly length: Mm;
  /** Width left, one gap included. */
  free: Mm;
}

/**
 * Branch and bound over bands: panels by falling length, each into a band that has room or into a new one, so
 * that a band's first panel is its longest. Every packing into bands can be written that way, so a finished
 * search is exact. Starts from the better of two fits and gives that back where nothing shorter turns up.
 */
export function bandPackingSearched(
  items: readonly BandItem[],
  stretches: readonly RollStretch[],
  gapMm: Mm,
  effort: Effort,
): BandSearchResult {
  const start = bandPackingByFit(items, stretches, gapMm);
  const search = new BandSearch(items, stretches, gapMm, effort, start);
  search.run();
  const bands = search.bestBands();
  if (!bands) return { ...start, isShortest: !search.isCutShort };
  return { bands, left: [], openLength: search.best, isShortest: !search.isCutShort };
}

class BandSearch {
  best: Mm;
  isCutShort = false;
  private readonly items: readonly BandItem[];
  private readonly stretches: readonly RollStretch[];
  private readonly gapMm: Mm;
  private readonly effort: Effort;
  private readonly bands: OpenBand[] = [];
  private readonly room: Mm[];
  /** For each item the index of its band, in the current and in the best packing. */
  private readonly bandOf: number[];
  private bestBandOf: number[] | undefined;
  private bestOpenBands: OpenBand[] = [];
  private readonly openWidth: Mm;
  private readonly hasClosed: boolean;

  constructor(
    items: readonly BandItem[],
    stretches: readonly RollStretch[],
    gapMm: Mm,
    effort: Effort,
    start: BandPacking,
  ) {
    this.items = longestFirst(items);
    this.stretches = stretches;
    this.gapMm = gapMm;
    this.effort = effort;
    this.room = stretches.map((stretch) => stretch.end - stretch.start + gapMm);
    this.bandOf = new Array(items.length).fill(0);
    this.best = start.left.length === 0 ? start.openLength : Number.POSITIVE_INFINITY;
    this.openWidth = (stretches.find((stretch) => stretch.isOpen)?.width ?? 0) + gapMm;
    this.hasClosed = stretches.some((stretch) => !stretch.isOpen);
  }

  run(): void {
    this.place(0, 0);
  }

  bestBands(): Band[] | undefined {
    const bandOf = this.bestBandOf;
    if (!bandOf) return undefined;
    return this.bestOpenBands.map(({ stretch, length }, band) => ({
      stretch,
      length,
      items: this.items.filter((_, index) => bandOf[index] === band),
    }));
  }

  private place(index: number, used: Mm): void {
    if (used + this.boundFrom(index) >= this.best - LENGTH_TOLERANCE_MM) return;
    if (index === this.items.length) {
      this.best = used;
      this.bestBandOf = [...this.bandOf];
      this.bestOpenBands = this.bands.map((band) => ({ ...band }));
      return;
    }
    if (this.effort.left <= 0) {
      this.isCutShort = true;
      return;
    }
    this.effort.left -= 1;
    this.placeInBands(index, used);
    this.placeInNewBand(index, used);
  }

  private placeInBands(index: number, used: Mm): void {
    const across = this.items[index]!.across + this.gapMm;
    const earliest = this.earliestBand(index);
    const tried = new Set<string>();
    const candidates = this.bands
      .map((band, number) => ({ band, number }))
      .filter(({ band, number }) => number >= earliest && across <= band.free + LENGTH_TOLERANCE_MM)
      .sort((a, b) => a.band.free - b.band.free);
    for (const { band, number } of candidates) {
      // All bands are long enough for what is still to come, so two with the same room are the same choice.
      const choice = `${band.free.toFixed(4)}`;
      if (tried.has(choice)) continue;
      tried.add(choice);
      band.free -= across;
      this.bandOf[index] = number;
      this.place(index + 1, used);
      band.free += across;
    }
  }

  private placeInNewBand(index: number, used: Mm): void {
    const { across, along } = this.items[index]!;
    const { room, gapMm } = this;
    this.stretches.forEach((stretch, number) => {
      const before = room[number]!;
      const fits =
        across <= stretch.width + LENGTH_TOLERANCE_MM && along + gapMm <= before + LENGTH_TOLERANCE_MM;
      if (!fits) return;
      room[number] = stretch.oneBand ? 0 : before - along - gapMm;
      this.bands.push({ stretch: number, length: along, free: stretch.width - across });
      this.bandOf[index] = this.bands.length - 1;
      this.place(index + 1, stretch.isOpen ? used + along + gapMm : used);
      this.bands.pop();
      room[number] = before;
    });
  }

  /** Panels of the same size are interchangeable: the later one need not try an earlier band. */
  private earliestBand(index: number): number {
    const item = this.items[index]!;
    const before = this.items[index - 1];
    const isTwin = before?.across === item.across && before.along === item.along;
    return isTwin ? this.bandOf[index - 1]! : 0;
  }

  /** What the items from `index` on add at least to the open stretch. */
  private boundFrom(index: number): Mm {
    if (this.hasClosed) return this.areaBoundFrom(index);
    return Math.max(this.widthBoundFrom(index), this.wideBoundFrom(index));
  }

  /** Widths laid end to end, longest first: each time a width of film is full, a band of that length begins. */
  private widthBoundFrom(index: number): Mm {
    let free = 0;
    for (const band of this.bands) free += band.free;
    let total = 0;
    for (let i = index; i < this.items.length; i++) {
      const item = this.items[i]!;
      free -= item.across + this.gapMm;
      while (free < -LENGTH_TOLERANCE_MM) {
        total += item.along + this.gapMm;
        free += this.openWidth;
      }
    }
    return total;
  }

  /** Panels wider than half the film never share a band; the bands there are can take one each, at best. */
  private wideBoundFrom(index: number): Mm {
    const half = this.openWidth / 2 + LENGTH_TOLERANCE_MM;
    let taken = 0;
    for (const band of this.bands) if (band.free > half - LENGTH_TOLERANCE_MM * 2) taken++;
    let total = 0;
    for (let i = index; i < this.items.length; i++) {
      const item = this.items[i]!;
      if (item.across + this.gapMm <= half) continue;
      if (taken > 0) taken--;
      else total += item.along + this.gapMm;
    }
    return total;
  }

  /** Free area before and beside locked panels may take panels too, so only area can be counted. */
  private areaBoundFrom(index: number): Mm {
    let area = 0;
    for (let i = index; i < this.items.length; i++) {
      const item = this.items[i]!;
      area += (item.across + this.gapMm) * (item.along + this.gapMm);
    }
    for (const band of this.bands) area -= band.free * (band.length + this.gapMm);
    this.stretches.forEach((stretch, number) => {
      if (!stretch.isOpen) area -= (stretch.width + this.gapMm) * this.room[number]!;
    });
    return this.openWidth > 0 ? Math.max(0, area / this.openWidth) : 0;
  }
}
