/**
 * The verification of one side: reads its panels, compares their samples, then their pictures, then the bands that
 * neighbors share.
 */
import { rectFromStored } from '../../core/job/stored-rect.ts';
import { firstOf, valueAt } from '../../core/measure/present.ts';
import type { ManifestPanel } from '../../core/output/manifest.ts';
import { bandCompared, bandFault, panelBands } from '../../core/verify/band-agreement.ts';
import { comparisonKept } from '../../core/verify/picture-comparison.ts';
import { SideGrid } from '../../core/verify/side-grid.ts';
import { sourceGroups } from '../../core/verify/source-group.ts';
import type {
  BandVerification,
  SideVerification,
  VerificationFault,
} from '../../core/verify/verification-report.ts';
import { type ReadingTools, type ReadPanel, readPanel } from './panel-reading.ts';
import {
  type DrawnPanel,
  type PanelToDraw,
  type PictureTools,
  verifyPictures,
} from './picture-verification.ts';
import { type ReadSamples, verifySamples } from './sample-verification.ts';

export interface SideVerificationTools extends Omit<ReadingTools & PictureTools, 'grid' | 'fineGrid'> {
  /** How many panels of the output come before those of this side, and how many there are in all. */
  readonly before: number;
  readonly count: number;
}

export interface VerifiedSide {
  readonly side: Omit<SideVerification, 'coveredShare'>;
  readonly faults: readonly VerificationFault[];
  readonly notes: readonly VerificationFault[];
  /** Panels whose files exist and are the right ones. */
  readonly present: readonly ManifestPanel[];
}

/** Panels whose files were read and compared with the artwork, before anything is drawn. */
export interface ReadSide {
  readonly panels: readonly ManifestPanel[];
  readonly read: readonly ReadPanel[];
  readonly samples: ReadonlyMap<ManifestPanel, ReadSamples>;
}

/** Calls `onBegin` with each panel before its file is read. */
export async function readSide(
  panels: readonly ManifestPanel[],
  tools: SideVerificationTools,
  onBegin: (label: string) => void,
): Promise<ReadSide> {
  const read: ReadPanel[] = [];
  for (const panel of panels) {
    await tools.pause();
    onBegin(panel.label);
    read.push(await readPanel(panel, tools));
  }
  return { panels, read, samples: await verifySamples(read, tools.artwork.artwork.file, tools.pause) };
}

/** Calls `onBegin` with each panel before it is drawn. */
export async function verifySide(
  { panels, read, samples }: ReadSide,
  tools: SideVerificationTools,
  onBegin: (label: string) => void,
): Promise<VerifiedSide> {
  const toDraw = panelsToDraw(read, samples, tools);
  const boxes = panels.map(({ printedBox }) => rectFromStored<'finished'>(printedBox));
  // If everything was read and is right, pictures only confirm it.
  const isSound = [...toDraw.values()].every(({ hasFaults, isComplete }) => isComplete && !hasFaults);
  const fineGrid = SideGrid.fitting(boxes);
  const grid = isSound ? SideGrid.fitting(boxes, 'areas') : fineGrid;
  const drawn = new Map<ManifestPanel, DrawnPanel>();
  for (const group of sourceGroups(panels, grid)) {
    const pictures = await verifyPictures(group, toDraw, { ...tools, grid, fineGrid }, onBegin);
    for (const [panel, picture] of pictures) drawn.set(panel, picture);
  }
  const faults = read.flatMap(({ panel, faults: found }) => {
    const fromSamples = samples.get(panel)?.faults ?? [];
    const explained = [...found, ...fromSamples].some(
      ({ code }) => code === 'panel-shifted' || code === 'panel-scaled',
    );
    const fromPicture = (drawn.get(panel)?.faults ?? []).filter(
      // Shift and scale read from the file are exact, so the picture's measure adds nothing.
      ({ code }) =>
        !(explained && (code === 'panel-shifted' || code === 'panel-scaled' || code === 'picture-differs')),
    );
    return [...found, ...fromSamples, ...fromPicture];
  });
  const bands = comparedBands(panels, drawn, faults, grid);
  return {
    side: {
      sideCode: firstOf(panels).sideCode,
      ppi: Math.round(grid.ppi * 100) / 100,
      panels: panels.map(
        (panel) => drawn.get(panel)?.verification ?? { label: panel.label, file: panel.file },
      ),
      bands: bands.kept,
    },
    faults: [...faults, ...bands.faults],
    notes: [...drawn.values()].flatMap(({ note }) => note ?? []),
    present: read.flatMap(({ panel, opened }) => (opened ? [panel] : [])),
  };
}

function panelsToDraw(
  read: readonly ReadPanel[],
  samples: ReadonlyMap<ManifestPanel, ReadSamples>,
  { before, count }: SideVerificationTools,
): Map<ManifestPanel, PanelToDraw> {
  const toDraw = new Map<ManifestPanel, PanelToDraw>();
  for (const [index, { panel, faults, opened }] of read.entries()) {
    if (!opened) continue;
    const { faults: found, isUnknown } = valueAt(samples, panel);
    // A changed file alone does not mean that it paints something else.
    const hasFaults = [...faults, ...found].some(({ code }) => code !== 'file-changed');
    const isComplete = opened.isRead && !isUnknown;
    toDraw.set(panel, {
      panel,
      path: opened.path,
      userUnit: opened.userUnit,
      index: before + index,
      count,
      hasFaults,
      isComplete,
    });
  }
  return toDraw;
}

/**
 * Neighbors that both match the artwork match each other, so a difference between them is reported in addition to a
 * panel's own.
 */
function comparedBands(
  panels: readonly ManifestPanel[],
  drawn: ReadonlyMap<ManifestPanel, DrawnPanel>,
  found: readonly VerificationFault[],
  grid: SideGrid,
): { readonly kept: BandVerification[]; readonly faults: VerificationFault[] } {
  const doubted = new Set(found.flatMap((fault) => fault.panels));
  const kept: BandVerification[] = [];
  const faults: VerificationFault[] = [];
  for (const band of panelBands(panels, grid)) {
    const [first, second] = band.panels.map((panel) => drawn.get(panel)?.picture);
    if (!first || !second) continue;
    const compared = bandCompared(band, first, second);
    const labels = [band.panels[0].label, band.panels[1].label] as [string, string];
    kept.push({ panels: labels, picture: comparisonKept(compared) });
    const fault = labels.some((label) => doubted.has(label)) ? bandFault(band, compared) : undefined;
    if (fault) faults.push(fault);
  }
  return { kept, faults };
}
