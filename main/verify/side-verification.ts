/** The verification of one side: its panels, as many at once as there are threads, then the bands that neighbors share. */
import { rectFromStored } from '../../core/job/stored-rect.ts';
import type { ManifestPanel } from '../../core/output/manifest.ts';
import { bandCompared, bandFault, panelBands } from '../../core/verify/band-agreement.ts';
import { comparisonKept } from '../../core/verify/picture-comparison.ts';
import { SideGrid } from '../../core/verify/side-grid.ts';
import { type SourceGroup, sourceGroups } from '../../core/verify/source-group.ts';
import type {
  BandVerification,
  SideVerification,
  VerificationFault,
} from '../../core/verify/verification-report.ts';
import type { OpenedArtwork } from '../artwork/artwork-file.ts';
import {
  type PanelVerificationTools,
  type SourceDrawn,
  type VerifiedPanel,
  verifyPanel,
} from './panel-verification.ts';
import type { RenderThread } from './render-thread.ts';
import { drawSource } from './window-drawing.ts';

export interface SideVerificationTools extends Omit<PanelVerificationTools, 'grid' | 'thread' | 'original'> {
  readonly artwork: OpenedArtwork;
  /** At least one. */
  readonly threads: readonly RenderThread[];
}

export interface VerifiedSide {
  readonly side: Omit<SideVerification, 'coveredShare'>;
  readonly faults: readonly VerificationFault[];
  /** Panels whose files are there and hold them. */
  readonly present: readonly ManifestPanel[];
}

/** `begun` is told of each panel before it is verified. */
export async function verifySide(
  panels: readonly ManifestPanel[],
  tools: SideVerificationTools,
  onBegin: (label: string) => void,
): Promise<VerifiedSide> {
  const grid = SideGrid.fitting(panels.map(({ printedBox }) => rectFromStored(printedBox)));
  const verifiedAtAll = new Map<ManifestPanel, VerifiedPanel>();
  for (const group of sourceGroups(panels, grid)) {
    for (const [panel, verification] of await verifyGroup(group, grid, tools, onBegin))
      verifiedAtAll.set(panel, verification);
  }
  // In the order of the manifest, whichever was done first.
  const verified = new Map(panels.map((panel) => [panel, verifiedAtAll.get(panel)!]));
  const bands: BandVerification[] = [];
  const faults = [...verified.values()].flatMap((panel) => panel.faults);
  for (const band of panelBands(panels, grid)) {
    const [first, second] = band.panels.map((panel) => verified.get(panel)!.picture);
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
      panels: [...verified.values()].map(({ verification }) => verification),
      bands,
    },
    faults,
    present: panels.filter((panel) => verified.get(panel)!.isPresent),
  };
}

/** Each thread takes the next panel when it has done one. */
async function verifyGroup(
  group: SourceGroup,
  grid: SideGrid,
  { artwork, threads, ...tools }: SideVerificationTools,
  onBegin: (label: string) => void,
): Promise<Map<ManifestPanel, VerifiedPanel>> {
  const drawn = await drawSource(group, artwork, { thread: threads[0]!, grid, signal: tools.signal });
  const original: SourceDrawn = drawn.ok
    ? { ok: true, picture: { window: group.window, rgba: drawn.rgba } }
    : drawn;
  const verified = new Map<ManifestPanel, VerifiedPanel>();
  const waiting = [...group.panels];
  const lanes = threads.map(async (thread) => {
    for (let panel = waiting.shift(); panel; panel = waiting.shift()) {
      tools.signal.throwIfAborted();
      onBegin(panel.label);
      verified.set(panel, await verifyPanel(panel, { ...tools, grid, thread, original }));
    }
  });
  // All of them, so that no thread is still drawing when the verification is given up.
  const settled = await Promise.allSettled(lanes);
  const failed = settled.find(({ status }) => status === 'rejected');
  if (failed?.status === 'rejected') throw failed.reason;
  return verified;
}
