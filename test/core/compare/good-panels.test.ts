import { expect, test } from 'vitest';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import type { ArtworkComparison } from '../../../core/output/artwork-comparison.ts';
import { artworksComparedWith, artworksGoodFor } from '../../../core/output/good-panels.ts';
import { olderArtworkFindings, panelsStillGood } from '../../../core/output/older-outputs.ts';
import { compared, drawnArtwork } from '../../support/compared-artwork.ts';
import { smallJob } from '../../support/small-job.ts';

const [A, B, C] = ['a', 'b', 'c'].map((letter) => letter.repeat(64)) as [string, string, string];
const CORNER = '0 1 0 0 k 700 300 40 20 re f';

/** The right panel changes from the first artwork to the second, and nothing from there to the third. */
async function threeArtworks(): Promise<ArtworkComparison[]> {
  const [first, second] = [await drawnArtwork([{}]), await drawnArtwork([{ content: CORNER }])];
  const changed = await compared(first, second);
  const same = await compared(second, second);
  const named = (of: ArtworkComparison, before: string, after: string): ArtworkComparison => ({
    ...of,
    before: { ...of.before, sha256: before },
    after: { ...of.after, sha256: after },
  });
  return [named(changed, A, B), named(same, B, C)];
}

async function outputOfFirst(isCompared: boolean) {
  const comparisons = isCompared ? await threeArtworks() : [];
  const [layout] = jobLayout(smallJob());
  const panels = layout!.panels.map(({ id, sideId, label, net }) => {
    const finishedBox = { xMm: net.x, yMm: net.y, widthMm: net.width, heightMm: net.height };
    return {
      panelId: id,
      label,
      finishedBox,
      goodFor: artworksGoodFor({ sideId, finishedBox }, A, comparisons),
    };
  });
  return { number: 1, artworkSha256: A, comparedWith: artworksComparedWith(A, comparisons), panels };
}

test('CA7 follows a panel through one comparison after the other', async () => {
  const output = await outputOfFirst(true);
  const goodFor = Object.fromEntries(output.panels.map(({ label, goodFor: good }) => [label, good]));
  expect(goodFor).toEqual({ 'LH-01': [A, B, C], 'LH-02': [A] });
  const [layout] = jobLayout(smallJob());
  expect([...panelsStillGood(C, layout!.panels, [output])]).toEqual(['p1']);
  expect([...panelsStillGood(A, layout!.panels, [output])].toSorted()).toEqual(['p1', 'p2']);
});

test('CA7 knows a panel by its outline: one that was moved is good for its own artwork alone', async () => {
  const moved = { xMm: 0, yMm: 0, widthMm: 1331, heightMm: 1300 };
  expect(artworksGoodFor({ sideId: 'left', finishedBox: moved }, A, await threeArtworks())).toEqual([A]);
});

test('CA8 tells an output of older artwork, and which of its panels have changed', async () => {
  const output = await outputOfFirst(true);
  expect(olderArtworkFindings(A, [output])).toEqual([]);
  expect(olderArtworkFindings(C, [output]).map(({ message }) => message)).toEqual([
    'Output 1 was cut from older artwork: LH-02 has changed since.',
  ]);
  expect(olderArtworkFindings(C, [await outputOfFirst(false)]).map(({ message }) => message)).toEqual([
    'Output 1 was cut from older artwork, and nobody has compared the two.',
  ]);
});
