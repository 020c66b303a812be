/** The proof of one side: its panels one after the other, then the bands that neighbours share. */
import { rectFromStored } from '../../core/job/stored-rect.ts';
import type { ManifestPanel } from '../../core/manifest.ts';
import { bandCompared, bandFault, panelBands } from '../../core/proof/band-agreement.ts';
import { comparisonKept } from '../../core/proof/picture-comparison.ts';
import type { BandProof, ProofFault, SideProof } from '../../core/proof/proof-report.ts';
import { SideGrid } from '../../core/proof/side-grid.ts';
import { type PanelProofTools, type ProvedPanel, panelProved } from './panel-proof.ts';

export interface ProvedSide {
  readonly side: Omit<SideProof, 'coveredShare'>;
  readonly faults: readonly ProofFault[];
  /** Panels whose files are there and hold them. */
  readonly present: readonly ManifestPanel[];
}

/** `begun` is told of each panel before it is proved. */
export async function sideProved(
  panels: readonly ManifestPanel[],
  tools: Omit<PanelProofTools, 'grid'>,
  begun: (label: string) => void,
): Promise<ProvedSide> {
  const grid = SideGrid.fitting(panels.map(({ printedMm }) => rectFromStored(printedMm)));
  const proved = new Map<ManifestPanel, ProvedPanel>();
  for (const panel of panels) {
    tools.signal.throwIfAborted();
    begun(panel.label);
    proved.set(panel, await panelProved(panel, { ...tools, grid }));
  }
  const bands: BandProof[] = [];
  const faults = [...proved.values()].flatMap((panel) => panel.faults);
  for (const band of panelBands(panels, grid)) {
    const [first, second] = band.panels.map((panel) => proved.get(panel)!.picture);
    if (!first || !second) continue;
    const compared = bandCompared(band, first, second, grid);
    bands.push({ panels: [band.panels[0].label, band.panels[1].label], picture: comparisonKept(compared) });
    const fault = bandFault(band, compared);
    if (fault) faults.push(fault);
  }
  return {
    side: {
      sideCode: panels[0]!.sideCode,
      ppi: Math.round(grid.ppi * 100) / 100,
      panels: [...proved.values()].map(({ proof }) => proof),
      bands,
    },
    faults,
    present: panels.filter((panel) => proved.get(panel)!.isPresent),
  };
}
