import { cutPanels } from '../../core/cut/cut.ts';
import type { CutPanel, CutTools, PanelCut } from '../../core/cut/cut-request.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import type { Artwork } from '../../core/pdf/document/artwork.ts';
import type { ArtworkProblem } from '../../core/pdf/page/artwork-problem.ts';
import { MemoryOutput } from '../../core/pdf/write/memory-output.ts';

export interface PanelPdf extends CutPanel {
  readonly bytes: Uint8Array;
}

/** One panel, cut into memory. */
export async function panelPdf(
  artwork: Artwork,
  cut: PanelCut,
  tools: CutTools,
): Promise<Result<PanelPdf, ArtworkProblem>> {
  const output = new MemoryOutput();
  const panels = await cutPanels(artwork, [cut], [output], tools);
  return panels.ok ? resultOk({ ...panels.value[0]!, bytes: output.bytes() }) : panels;
}
