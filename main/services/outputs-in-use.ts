import { artworksComparedWith, artworksGoodFor } from '../../core/output/good-panels.ts';
import type { ManifestPanel } from '../../core/output/manifest.ts';
import type { OutputPanels } from '../../core/output/older-outputs.ts';
import type { Archive } from '../archive/port.ts';
import { readKeptManifest } from './kept-manifest.ts';

/**
 * Each panel that was ever written for a job, in the last output that has it. An output whose manifest is lost is
 * skipped.
 */
export async function outputsInUse(
  { outputs, vault, comparisons }: Pick<Archive, 'outputs' | 'vault' | 'comparisons'>,
  jobId: string,
): Promise<OutputPanels[]> {
  const found: OutputPanels[] = [];
  const compared = await comparisons.list(jobId);
  const seen = new Set<string>();
  for (const output of (await outputs.list(jobId)).toReversed()) {
    const { number, files, artworkSha256, verification } = output;
    if (!files.some(({ panelId }) => panelId !== undefined && !seen.has(panelId))) continue;
    const manifest = await readKeptManifest(vault, output);
    if (!manifest.ok) continue;
    const panels = manifest.value.panels
      .filter(({ panelId, patch }) => !patch && !seen.has(panelId))
      .map(({ sideId, panelId, label, finishedBox, finishedOutline, source, ...panel }) => {
        const cut = { finishedBox, ...(finishedOutline && { finishedOutline }) };
        const goodFor = artworksGoodFor(
          { sideId, ...cut },
          { sha256: artworkSha256, page: source.page },
          compared,
        );
        return { panelId, sideId, label, ...cut, placed: sidePlaced(source, panel), goodFor };
      });
    for (const { panelId } of panels) seen.add(panelId);
    found.push({
      number,
      ...(verification.state === 'failed' && { isRefused: true }),
      artworkSha256,
      comparedWith: artworksComparedWith(artworkSha256, compared),
      panels,
    });
  }
  return found;
}

/** Where a side began on its page, derived from the place of one of its panels. */
function sidePlaced(
  { box, windowDrawnMm }: ManifestPanel['source'],
  { printedBox, scale }: Pick<ManifestPanel, 'printedBox' | 'scale'>,
): OutputPanels['panels'][number]['placed'] {
  return {
    box,
    xMm: windowDrawnMm.xMm - printedBox.xMm / scale,
    yMm: windowDrawnMm.yMm - printedBox.yMm / scale,
    scale,
  };
}
