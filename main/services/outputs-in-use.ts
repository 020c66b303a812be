import type { OutputPanels } from '../../core/output/older-outputs.ts';
import type { Archive } from '../archive/port.ts';
import { readKeptManifest } from './kept-manifest.ts';

/** Each panel that was ever cut of a job, in the last output that has it. An output whose manifest is lost says nothing. */
export async function outputsInUse(
  { outputs, vault }: Pick<Archive, 'outputs' | 'vault'>,
  jobId: string,
): Promise<OutputPanels[]> {
  const found: OutputPanels[] = [];
  const seen = new Set<string>();
  for (const output of (await outputs.list(jobId)).toReversed()) {
    const { number, files } = output;
    if (!files.some(({ panelId }) => panelId !== undefined && !seen.has(panelId))) continue;
    const manifest = await readKeptManifest(vault, output);
    if (!manifest.ok) continue;
    const panels = manifest.value.panels
      .filter(({ panelId, patch }) => !patch && !seen.has(panelId))
      .map(({ panelId, label, finishedBox, finishedOutline }) => ({
        panelId,
        label,
        finishedBox,
        ...(finishedOutline && { finishedOutline }),
      }));
    for (const { panelId } of panels) seen.add(panelId);
    found.push({ number, panels });
  }
  return found;
}
