import { expect, test } from 'vitest';
import type { Job } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import type { ArtworkComparison } from '../../../core/output/artwork-comparison.ts';
import { artworksComparedWith, artworksGoodFor } from '../../../core/output/good-panels.ts';
import { olderArtworkFindings, panelsStillGood } from '../../../core/output/older-outputs.ts';
import { panelsStanding } from '../../../core/output/panels-standing.ts';
import { compared, drawnArtwork } from '../../support/compared-artwork.ts';
import { smallJob } from '../../support/small-job.ts';

const [A, B, C] = ['a', 'b', 'c'].map((letter) => letter.repeat(64)) as [string, string, string];
const onPage = (sha256: string, page = 1) => ({ sha256, page });
const jobOf = (sha256: string, page = 1): Job => {
  const job = smallJob();
  const artwork = { fileName: 'art.pdf', sha256, sizeBytes: 1, box: 'crop' as const };
  return { ...job, artwork, sides: job.sides.map((side) => ({ ...side, page })) };
};
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
      goodFor: artworksGoodFor({ sideId, finishedBox }, onPage(A), comparisons),
      sideId,
    };
  });
  return { number: 1, artworkSha256: A, comparedWith: artworksComparedWith(A, comparisons), panels };
}

test('CA7 follows a panel through one comparison after the other', async () => {
  const output = await outputOfFirst(true);
  const goodFor = Object.fromEntries(output.panels.map(({ label, goodFor: good }) => [label, good]));
  expect(goodFor).toEqual({
    'LH-01': [onPage(A), onPage(B), onPage(C)],
    'LH-02': [onPage(A)],
  });
  const [layout] = jobLayout(smallJob());
  expect([...panelsStillGood(jobOf(C), layout!.panels, [output])]).toEqual(['p1']);
  expect([...panelsStillGood(jobOf(A), layout!.panels, [output])].toSorted()).toEqual(['p1', 'p2']);
});

test('CA7 knows a panel by its outline: one that was moved is good for its own artwork alone', async () => {
  const moved = { xMm: 0, yMm: 0, widthMm: 1331, heightMm: 1300 };
  expect(artworksGoodFor({ sideId: 'left', finishedBox: moved }, onPage(A), await threeArtworks())).toEqual([
    onPage(A),
  ]);
});

test('tells an output of older artwork, and which of its panels have changed', async () => {
  const output = await outputOfFirst(true);
  expect(olderArtworkFindings(jobOf(A), [output])).toEqual([]);
  expect(olderArtworkFindings(jobOf(C), [output]).map(({ message }) => message)).toEqual([
    'Output 1 was cut from older artwork: LH-02 has changed since.',
  ]);
  expect(olderArtworkFindings(jobOf(C), [await outputOfFirst(false)]).map(({ message }) => message)).toEqual([
    'Output 1 was cut from older artwork, and nobody has compared the two.',
  ]);
});

test('CA7 holds only while the side of a panel is on the page that was compared', async () => {
  const output = await outputOfFirst(true);
  const [layout] = jobLayout(smallJob());
  expect([...panelsStillGood(jobOf(C, 2), layout!.panels, [output])]).toEqual([]);
});

test('CA7 takes no panel of an output that was refused for good', async () => {
  const output = { ...(await outputOfFirst(true)), isRefused: true as const };
  const [layout] = jobLayout(smallJob());
  expect([...panelsStillGood(jobOf(A), layout!.panels, [output])]).toEqual([]);
});

test('CA9 says of each panel of an output whether it is still good, and if not, why', async () => {
  const output = await outputOfFirst(true);
  const [layout] = jobLayout(smallJob());
  const files = layout!.panels.map(({ id, label }) => ({ panelId: id, panelLabel: label }));
  const lines = (sha256: string, cut = [output], panels = layout!.panels) =>
    panelsStanding({ job: jobOf(sha256), panels }, { number: 1, files }, cut);
  expect(lines(A)).toEqual(['LH-01 and LH-02: still good']);
  expect(lines(C)).toEqual(['LH-01: still good', 'LH-02: of older artwork, changed since']);
  expect(lines(C, [await outputOfFirst(false)])).toEqual([
    'LH-01 and LH-02: of older artwork, not compared with the present one',
  ]);
  const again = { ...output, number: 2, panels: output.panels.slice(0, 1) };
  const rest = { ...output, panels: output.panels.slice(1) };
  expect(lines(A, [again, rest])).toEqual(['LH-02: still good', 'LH-01: written again in Output 2']);
  const [first, second] = layout!.panels;
  const moved = { ...second!, net: { ...second!.net, width: second!.net.width - 10 } };
  expect(lines(A, [output], [moved])).toEqual([
    'LH-02: of an older panel layout',
    'LH-01: no longer in the job',
  ]);
  expect(lines(A, [{ ...output, isRefused: true as const }] as never, [first!])).toEqual([
    'LH-01: not released: the verification failed',
    'LH-02: no longer in the job',
  ]);
});
