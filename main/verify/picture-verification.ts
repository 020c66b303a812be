/**
 * The pictures of a side: draws the artwork and each panel and compares them, again with the second renderer where
 * there is doubt.
 */
import { basename, join, posix } from 'node:path';
import { rectFromStored } from '../../core/job/stored-rect.ts';
import { foundIn, present, valueAt } from '../../core/measure/present.ts';
import type { ManifestPanel } from '../../core/output/manifest.ts';
import { panelPictureCompared } from '../../core/verify/panel-picture.ts';
import { comparisonKept, differencePicture } from '../../core/verify/picture-comparison.ts';
import {
  type Look,
  pictureNote,
  pictureVerdict,
  secondLookReason,
} from '../../core/verify/picture-verdict.ts';
import { holdsWindow, type PixelWindow, type SideGrid, windowsApart } from '../../core/verify/side-grid.ts';
import type { SourceGroup } from '../../core/verify/source-group.ts';
import type { VerificationPicture } from '../../core/verify/verification-picture.ts';
import type { PanelVerification, VerificationFault } from '../../core/verify/verification-report.ts';
import { writeFileAtomically } from '../files/atomic-write.ts';
import { sha256Hex } from '../files/sha256.ts';
import { pngFromPicture } from '../render/png.ts';
import type { Renderer } from './draw-message.ts';
import type { DrawOutcome } from './draw-process.ts';
import { faultOf } from './panel-reading.ts';
import { VERIFICATION_FOLDER } from './verification-files.ts';
import { type DrawingTools, drawPanel, drawSource } from './window-drawing.ts';

export interface PictureTools extends DrawingTools {
  readonly folder: string;
  /** The finer grid for panels in doubt. */
  readonly fineGrid: SideGrid;
}

export interface PanelToDraw {
  readonly panel: ManifestPanel;
  /** The file that is drawn: the panel's own, or a copy without cut contours. */
  readonly path: string;
  readonly userUnit: number;
  /** Its index among all panels of the output, which selects those that both renderers draw. */
  readonly index: number;
  readonly count: number;
  readonly hasFaults: boolean;
  readonly isComplete: boolean;
}

export interface DrawnPanel {
  readonly verification: PanelVerification;
  readonly faults: readonly VerificationFault[];
  readonly note?: VerificationFault;
  /** The first drawing, for comparing the bands. */
  readonly picture?: VerificationPicture;
}

/** Calls `onBegin` with each panel. */
export async function verifyPictures(
  { panels, window }: SourceGroup,
  toDraw: ReadonlyMap<ManifestPanel, PanelToDraw>,
  tools: PictureTools,
  onBegin: (label: string) => void,
): Promise<ReadonlyMap<ManifestPanel, DrawnPanel>> {
  const present = panels.flatMap((panel) => toDraw.get(panel) ?? []);
  const first = await lookedAt('pdfium', present, window, tools, onBegin);
  const reasonOf = (item: PanelToDraw) =>
    secondLookReason(valueAt(first, item).look, item, item.index, item.count);
  const samples = present.filter((item) => reasonOf(item) === 'sample');
  const sampled = await lookedAt('pdfjs', samples, undefined, tools);
  const doubted = present.filter((item) => reasonOf(item) === 'doubt' || sampled.get(item)?.look?.fault);
  const finely = { ...tools, grid: tools.fineGrid };
  const second = new Map([...sampled, ...(await lookedAt('pdfjs', doubted, undefined, finely))]);
  const drawn = new Map<ManifestPanel, DrawnPanel>();
  for (const item of present)
    drawn.set(item.panel, await panelDrawn(item, valueAt(first, item), second.get(item), tools));
  return drawn;
}

/** A panel and the artwork as one renderer draws them. */
interface LookAt {
  readonly look: Look;
  readonly source?: VerificationPicture;
  readonly picture?: VerificationPicture;
  /** Why the panel could not be drawn or compared. */
  readonly trouble?: string;
}

/** A part of the artwork. */
interface Source {
  readonly window: PixelWindow;
  readonly drawn: DrawOutcome;
}

async function lookedAt(
  renderer: Renderer,
  panels: readonly PanelToDraw[],
  around: PixelWindow | undefined,
  tools: PictureTools,
  onBegin: (label: string) => void = () => undefined,
): Promise<Map<PanelToDraw, LookAt>> {
  const looks = new Map<PanelToDraw, LookAt>();
  const windowOf = ({ panel }: PanelToDraw) => tools.grid.around(rectFromStored(panel.printedBox));
  const [any] = panels;
  if (!any) return looks;
  // The whole artwork is drawn before any panel, because its file is open and its copy made at that point.
  const sources: Source[] = [];
  for (const window of around ? [around] : windowsApart(panels.map(windowOf)))
    sources.push({ window, drawn: await drawSource(renderer, any.panel, window, tools) });
  for (const item of panels) {
    const { panel, path, userUnit, isComplete, hasFaults } = item;
    onBegin(panel.label);
    const own = windowOf(item);
    const { window, drawn: original } = foundIn(sources, (each) => holdsWindow(each.window, own));
    const source = original.ok ? { window, rgba: original.rgba } : undefined;
    // If there is nothing to compare with, the panel need not be drawn.
    const drawn = original.ok
      ? await drawPanel(renderer, panel, { path, userUnit, window: own }, tools)
      : original;
    const picture = drawn.ok ? { window: own, rgba: drawn.rgba } : undefined;
    looks.set(item, {
      look:
        source &&
        picture &&
        panelPictureCompared(panel, source, picture, tools.grid, {
          roundsPictures: renderer === 'pdfium',
          // The first renderer only asks for the second one, so it stays the stricter.
          isReadAsSame: renderer === 'pdfjs' && isComplete && !hasFaults,
        }),
      ...(source && { source }),
      ...(picture && { picture }),
      ...(!original.ok && { trouble: `the artwork could not be drawn: ${original.trouble}` }),
      ...(original.ok && !drawn.ok && { trouble: `the panel could not be drawn: ${drawn.trouble}` }),
    });
  }
  return looks;
}

async function panelDrawn(
  item: PanelToDraw,
  first: LookAt,
  second: LookAt | undefined,
  { folder }: PictureTools,
): Promise<DrawnPanel> {
  const { panel } = item;
  const { label, file } = panel;
  const told = first.look ? first : second?.look ? second : undefined;
  const picture = first.picture && { picture: first.picture };
  if (!told) {
    const troubles = [...new Set([first.trouble, second?.trouble])].filter(
      (trouble) => trouble !== undefined,
    );
    const text = `${label} could not be compared with the artwork, because ${troubles.join(', and ')}.`;
    return { verification: { label, file }, faults: [faultOf(panel, 'not-drawable', text)], ...picture };
  }
  const fault = pictureVerdict(first.look, second?.look, item);
  const note = pictureNote(first.look, second?.look, item);
  const shown = fault && (fault === second?.look?.fault ? second : first);
  const difference =
    shown?.source && shown.picture
      ? await writeDifference(panel, shown.source, shown.picture, folder)
      : undefined;
  // If the second renderer overrules the first, its result counts.
  const isOverruled = !fault && first.look?.fault !== undefined && second?.look !== undefined;
  const { compared } = isOverruled ? second.look : present(told.look, 'The look at a panel');
  return {
    verification: { label, file, ...(compared && { picture: comparisonKept(compared) }), ...difference },
    faults: fault ? [fault] : [],
    ...(note && { note }),
    ...picture,
  };
}

/** Writes a picture of the difference. */
async function writeDifference(
  { file }: ManifestPanel,
  source: VerificationPicture,
  picture: VerificationPicture,
  folder: string,
): Promise<Pick<PanelVerification, 'differencePicture' | 'differencePictureSha256'>> {
  const name = `${VERIFICATION_FOLDER}/${basename(file, '.pdf')}.png`;
  const { window, rgba } = differencePicture(source, picture);
  const png = pngFromPicture({ width: window.width, height: window.height, rgba });
  await writeFileAtomically(join(folder, ...name.split(posix.sep)), png);
  return { differencePicture: name, differencePictureSha256: sha256Hex(png) };
}
