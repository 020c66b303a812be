/** The verification of one panel: its file against the manifest, its structure and its picture against the artwork. */
import { basename, join, posix } from 'node:path';
import { rectFromStored } from '../../core/job/stored-rect.ts';
import type { Rect } from '../../core/measure/rect.ts';
import type { Manifest, ManifestPanel } from '../../core/output/manifest.ts';
import { pageWithSpace } from '../../core/pdf/document/artwork.ts';
import { isPdfProblem } from '../../core/pdf/file/pdf-problem.ts';
import { panelPictureCompared } from '../../core/verify/panel-picture.ts';
import { comparisonKept, differencePicture } from '../../core/verify/picture-comparison.ts';
import { type PanelDocument, panelDocument } from '../../core/verify/structure/panel-document.ts';
import { structureFaults, type VerificationSource } from '../../core/verify/structure/panel-structure.ts';
import { panelHeld } from '../../core/verify/swapped-panels.ts';
import { verificationFault } from '../../core/verify/verification-fault.ts';
import type { VerificationPicture } from '../../core/verify/verification-picture.ts';
import type {
  PanelVerification,
  VerificationFault,
  VerificationFaultCode,
} from '../../core/verify/verification-report.ts';
import { writeFileAtomically } from '../files/atomic-write.ts';
import { openPdfSource, pdfCodecs } from '../files/pdf-source.ts';
import { type HashedSize, hashFile, sha256Hex } from '../files/sha256.ts';
import { pngFromPicture } from '../render/png.ts';
import { type DrawingTools, drawPanel } from './window-drawing.ts';

/** Below the output folder; holds a picture of each difference. */
export const VERIFICATION_FOLDER = 'verification';

export interface PanelVerificationTools extends DrawingTools {
  readonly manifest: Manifest;
  readonly folder: string;
  readonly source: VerificationSource;
  readonly original: SourceDrawn;
}

/** The artwork as drawn, at least where the panel lies. */
export type SourceDrawn =
  | { readonly ok: true; readonly picture: VerificationPicture }
  | { readonly ok: false; readonly trouble: string };

export interface VerifiedPanel {
  readonly verification: PanelVerification;
  readonly faults: readonly VerificationFault[];
  /** Whether the file is there and holds this panel. */
  readonly isPresent: boolean;
  /** As drawn, for the bands. */
  readonly picture?: VerificationPicture;
}

export async function verifyPanel(
  panel: ManifestPanel,
  tools: PanelVerificationTools,
): Promise<VerifiedPanel> {
  const { label, file } = panel;
  const path = outputFilePath(tools.folder, file);
  const hashed = await hashIfThere(path);
  const absent = (faults: readonly VerificationFault[]): VerifiedPanel => ({
    verification: { label, file },
    faults,
    isPresent: false,
  });
  if (!hashed) {
    return absent([faultOf(panel, 'panel-missing', `The file of panel ${label}, ${file}, is not there.`)]);
  }
  const faults: VerificationFault[] = [];
  if (manifestHashes(tools.manifest).get(file) !== hashed.sha256) {
    const text = `The file of panel ${label} is not the one that the manifest lists: its bytes have changed.`;
    faults.push(faultOf(panel, 'file-changed', text));
  }
  const read = await readPanelFile(panel, path, hashed.sha256, tools);
  faults.push(...read.faults);
  return read.isPanel ? await verifyPicture(panel, faults, tools) : absent(faults);
}

const faultOf = (
  { label, sideCode }: ManifestPanel,
  code: VerificationFaultCode,
  message: string,
): VerificationFault => verificationFault(code, { panels: [label], sideCode }, message);

const manifestHashes = ({ files }: Manifest): Map<string, string> =>
  new Map(files.map(({ file, sha256 }) => [file, sha256]));

const outputFilePath = (folder: string, file: string): string => join(folder, ...file.split(posix.sep));

async function hashIfThere(path: string): Promise<HashedSize | undefined> {
  try {
    return await hashFile(path);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return undefined;
    throw error;
  }
}

interface ReadFile {
  readonly faults: readonly VerificationFault[];
  /** Whether there is a picture of this panel to be drawn. */
  readonly isPanel: boolean;
}

async function readPanelFile(
  panel: ManifestPanel,
  path: string,
  sha256: string,
  { manifest, source }: PanelVerificationTools,
): Promise<ReadFile> {
  const { label } = panel;
  const opened = await panelDocument(await openPdfSource(path), pdfCodecs);
  if (!opened.ok) {
    const text = `The file of panel ${label} cannot be read: ${opened.problem.message}`;
    return { faults: [faultOf(panel, 'file-damaged', text)], isPanel: false };
  }
  const document = opened.value;
  const found = { panel, sha256, window: shownRect(panel, document, source) };
  const held = panelHeld(found, manifest.panels, manifestHashes(manifest));
  if (held) {
    const fault = faultOf(panel, 'panels-swapped', `The file of panel ${label} holds panel ${held.label}.`);
    return { faults: [{ ...fault, panels: [label, held.label] }], isPanel: false };
  }
  return { faults: await documentFaults(panel, document, source), isPanel: true };
}

/** What of the artwork the file shows. */
function shownRect(
  { source: { page, box } }: ManifestPanel,
  { art }: PanelDocument,
  { artwork }: VerificationSource,
): Rect<'drawn'> | undefined {
  const found = pageWithSpace(artwork, page, box);
  return found.ok && art?.box ? found.value.space.rectFromBox(art.box) : undefined;
}

async function documentFaults(
  panel: ManifestPanel,
  document: PanelDocument,
  source: VerificationSource,
): Promise<VerificationFault[]> {
  const faults: VerificationFault[] = [];
  try {
    faults.push(...(await structureFaults(panel, document, source)));
  } catch (error) {
    if (!isPdfProblem(error)) throw error;
    const text = `The file of panel ${panel.label} cannot be read whole: ${error.message}`;
    faults.push(faultOf(panel, 'file-damaged', text));
  }
  // Damage may come to light at any read, so this is asked last.
  if (document.pdf.file.isRepaired) {
    const text = `The file of panel ${panel.label} is damaged: part of it is missing, or its index is wrong.`;
    faults.push(faultOf(panel, 'file-damaged', text));
  }
  return faults;
}

async function verifyPicture(
  panel: ManifestPanel,
  found: readonly VerificationFault[],
  tools: PanelVerificationTools,
): Promise<VerifiedPanel> {
  const { label, file } = panel;
  const { grid, original } = tools;
  const window = grid.around(rectFromStored(panel.printedBox));
  // Where there is nothing to compare with, the panel need not be drawn.
  const drawn = original.ok ? await drawPanel(panel, window, tools.folder, tools) : original;
  if (!original.ok || !drawn.ok) {
    const [what, { trouble }] = original.ok
      ? ['the panel', drawn as { trouble: string }]
      : ['the artwork', original];
    const text = `${label} could not be compared with the artwork, because ${what} could not be drawn: ${trouble}.`;
    return {
      verification: { label, file },
      faults: [...found, faultOf(panel, 'not-drawable', text)],
      isPresent: true,
    };
  }
  const source = original.picture;
  const picture = { window, rgba: drawn.rgba };
  const { compared, fault } = panelPictureCompared(panel, source, picture, grid);
  const shown = fault ? await writeDifference(panel, source, picture, tools.folder) : undefined;
  // What the file itself says of shift and scale is exact; the picture's word adds nothing to it.
  const isExplained = found.some(({ code }) => code === 'panel-shifted' || code === 'panel-scaled');
  return {
    verification: {
      label,
      file,
      ...(compared && { picture: comparisonKept(compared) }),
      ...shown,
    },
    faults: fault && !isExplained ? [...found, fault] : found,
    isPresent: true,
    picture,
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
  await writeFileAtomically(outputFilePath(folder, name), png);
  return { differencePicture: name, differencePictureSha256: sha256Hex(png) };
}
