/** Pairs of artworks of which it is known what has changed, and what the comparison says of them. */
import { createHash } from 'node:crypto';
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { PDFDocument, PDFName } from 'pdf-lib';
import { rectFromStored } from '../../../core/job/stored-rect.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import type { Rect } from '../../../core/measure/rect.ts';
import { finishedFromDrawn } from '../../../core/measure/spaces.ts';
import type { ArtworkComparison } from '../../../core/output/artwork-comparison.ts';
import { type ArtworkPage, pageWithSpace } from '../../../core/pdf/document/artwork.ts';
import { type OpenedArtwork, openArtwork, pageExtents } from '../../../main/artwork/artwork-file.ts';
import { compareArtworks } from '../../../main/compare/artwork-comparison.ts';
import { type ChangeKind, changedArtwork } from '../../support/changed-artwork.ts';
import { pageJob, placeBeside } from '../../support/page-job.ts';
import { differingPixels, type Rendering, renderings, type Share } from './renderings.ts';
import { REWRITES } from './rewrites.ts';

export interface Base {
  readonly path: string;
  readonly page: ArtworkPage;
}

const DEMO = join(import.meta.dirname, '../../../assets/demo');
const MAX_BYTES = 6e6;
/** Pages as small as a stamp or as large as a building say nothing about vehicles. */
const LEAST_MM = 30;
const MOST_MM = 5000;

/** Pages to make pairs of: those of the demo, and real ones where PANELWRIGHT_CORPUS names a folder of them. */
export async function basePages(): Promise<Base[]> {
  const corpus = process.env.PANELWRIGHT_CORPUS;
  const folders = [DEMO, ...(corpus === undefined ? [] : [corpus])];
  const bases: Base[] = [];
  for (const folder of folders) {
    for (const name of readdirSync(folder)
      .filter((each) => each.endsWith('.pdf'))
      .toSorted()) {
      const path = join(folder, name);
      if (readFileSync(path).length > MAX_BYTES) continue;
      const opened = await openArtwork(path, { box: 'crop' });
      if (!opened.ok || opened.value.artwork.file.isRepaired) continue;
      const fit = opened.value.pages.filter(
        ({ visible: { width, height } }) =>
          Math.min(width, height) >= LEAST_MM && Math.max(width, height) <= MOST_MM,
      );
      for (const page of folder === DEMO ? fit : fit.slice(0, 1)) bases.push({ path, page });
    }
  }
  return bases;
}

export interface Outcome {
  readonly missed: readonly string[];
  readonly falseAlarms: readonly string[];
}

const NOTHING: Outcome = { missed: [], falseAlarms: [] };
const DRAWN_PX = 1800;
/** What both renderers must show: a difference of this many levels, in this many pixels. */
const SEEN_LEVELS = 24;
const SEEN_PIXELS = 3;

export class Pairs {
  readonly #folder: string;
  #count = 0;

  constructor(folder: string) {
    this.#folder = folder;
  }

  #path(): string {
    return join(this.#folder, `pair-${++this.#count}.pdf`);
  }

  /** One thing changed; undefined where the page has no such thing, or the change cannot be seen. */
  async changed({ path, page }: Base, kind: ChangeKind, pick: number): Promise<Change | undefined> {
    try {
      const opened = await openArtwork(path, { box: 'crop' });
      if (!opened.ok) return undefined;
      const found = pageWithSpace(opened.value.artwork, page.number, 'crop');
      if (!found.ok) return undefined;
      const beside = found.value.space.boxFromRect(placeBeside(page.visible));
      const changed = await changedArtwork(readFileSync(path), page.number, kind, pick, beside);
      if (!changed) return undefined;
      const paths = { before: this.#path(), after: this.#path() };
      writeFileSync(paths.before, changed.before);
      writeFileSync(paths.after, changed.after);
      const labels = this.#labelsChanged(paths, page);
      if (!labels || (kind === 'off-side' ? labels.length > 0 : labels.length === 0)) return undefined;
      return { ...paths, page, kind, labels };
    } catch {
      // Files that a library cannot write are no pairs.
      return undefined;
    }
  }

  /** Which panels both renderers show changed. */
  #labelsChanged(
    paths: { readonly before: string; readonly after: string },
    page: ArtworkPage,
  ): string[] | undefined {
    const drawn = this.#drawn(paths.before, paths.after, page);
    if (!drawn) return undefined;
    return panelParts(page).flatMap(({ label, part }) =>
      drawn.every(([a, b]) => differingPixels(a, b, part, SEEN_LEVELS) >= SEEN_PIXELS) ? [label] : [],
    );
  }

  #drawn(before: string, after: string, page: ArtworkPage): [Rendering, Rendering][] | undefined {
    const dpi = Math.round((DRAWN_PX * 25.4) / Math.max(page.visible.width, page.visible.height));
    const scratch = join(this.#folder, 'drawn');
    const [a, b] = [
      renderings(before, page.number, dpi, scratch),
      renderings(after, page.number, dpi, scratch),
    ];
    return a && b ? a.map((each, i) => [each, b[i]!]) : undefined;
  }

  /** The file written again; undefined where the program cannot, or changes how it looks. */
  async rewritten(path: string, page: ArtworkPage, how: keyof typeof REWRITES): Promise<string | undefined> {
    const to = this.#path();
    try {
      await REWRITES[how]!(path, to);
    } catch {
      return undefined;
    }
    if (CHANGED_BY_WRITING.has(`${how} ${fileSha256(path)}`)) return undefined;
    // A file that has lost its print condition is not the same.
    if ((await hasOutputIntent(path)) !== (await hasOutputIntent(to))) return undefined;
    const drawn = this.#drawn(path, to, page);
    const all = { x: 0, y: 0, width: 1, height: 1 };
    const isKept = drawn?.every(([a, b]) => differingPixels(a, b, all, KEPT_LEVELS) === 0);
    return isKept ? to : undefined;
  }

  async outcome(
    change: Pick<Change, 'page'> & Partial<Change>,
    before: string,
    after: string,
  ): Promise<Outcome> {
    const compared = await comparison(before, after, change.page);
    if (!compared) return NOTHING;
    return outcomeOf(compared, change.kind, change.labels ?? []);
  }
}

/**
 * Files, by their hashes, that a way of writing them anew changes in truth, though they look the same: the program sets the
 * black of a shading in three components as gray, which prints in other inks.
 */
const CHANGED_BY_WRITING = new Set([
  'fonts subset anew d04c2e6e7c85889b141e8f97d8d226d9f5ba61685e8c916a1e71471f27a8a016',
]);

const fileSha256 = (path: string): string => createHash('sha256').update(readFileSync(path)).digest('hex');

const hasOutputIntent = async (path: string): Promise<boolean> =>
  (await PDFDocument.load(readFileSync(path), { updateMetadata: false })).catalog.has(
    PDFName.of('OutputIntents'),
  );

/** A program that rewrites numbers moves an edge by a part of a pixel. */
const KEPT_LEVELS = 40;

export interface Change {
  readonly before: string;
  readonly after: string;
  readonly page: ArtworkPage;
  readonly kind: ChangeKind;
  /** Of panels that have changed in truth. */
  readonly labels: readonly string[];
}

function outcomeOf(
  { sides }: ArtworkComparison,
  kind: ChangeKind | undefined,
  labels: readonly string[],
): Outcome {
  const panels = sides.flatMap((side) => side.panels);
  const changed = panels.filter(({ verdict }) => verdict === 'changed').map(({ label }) => label);
  const isBesideTold = kind !== 'off-side' || panels.some(({ verdict }) => verdict !== 'unchanged');
  return {
    missed: [
      ...labels.filter((label) => !changed.includes(label)),
      ...(isBesideTold ? [] : ['beside the side']),
    ],
    falseAlarms: changed.filter((label) => !labels.includes(label)),
  };
}

async function comparison(
  before: string,
  after: string,
  page: ArtworkPage,
): Promise<ArtworkComparison | undefined> {
  const [a, b] = [await openArtwork(before, { box: 'crop' }), await openArtwork(after, { box: 'crop' })];
  if (!a.ok || !b.ok) return undefined;
  const job = { ...pageJob(page.number, page.visible), artwork: a.value.reference };
  const signal = new AbortController().signal;
  const compared = await compareArtworks(
    { job, artworks: [a.value, b.value] as [OpenedArtwork, OpenedArtwork] },
    { signal, report: () => undefined },
  );
  if (!compared.ok) throw new Error(compared.problem.message);
  return compared.value;
}

/** The printed areas of the job's panels, in shares of what the page shows. */
function panelParts(page: ArtworkPage): { readonly label: string; readonly part: Share }[] {
  const job = pageJob(page.number, page.visible);
  const [layout] = jobLayout(job, pageExtents([page]));
  const [side] = job.sides;
  const transform = finishedFromDrawn(rectFromStored<'drawn'>(side!.artworkRect), job.scale);
  return layout!.panels.map(({ label, printed }) => {
    const drawn: Rect<'drawn'> = transform.rectBack(printed);
    const { x, y, width, height } = page.visible;
    return {
      label,
      part: {
        x: (drawn.x - x) / width,
        y: (drawn.y - y) / height,
        width: drawn.width / width,
        height: drawn.height / height,
      },
    };
  });
}
