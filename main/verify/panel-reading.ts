/** Compares a panel's file with the manifest and, by its structure, with the artwork. */
import { join, posix } from 'node:path';
import type { Rect } from '../../core/measure/rect.ts';
import type { Manifest, ManifestPanel } from '../../core/output/manifest.ts';
import { pageWithSpace } from '../../core/pdf/document/artwork.ts';
import type { PdfFile } from '../../core/pdf/file/pdf-file.ts';
import { isPdfProblem } from '../../core/pdf/file/pdf-problem.ts';
import type { SamplesClaimed } from '../../core/verify/structure/image-match.ts';
import { type PanelDocument, panelDocument } from '../../core/verify/structure/panel-document.ts';
import { panelStructure, type VerificationSource } from '../../core/verify/structure/panel-structure.ts';
import { panelHeld } from '../../core/verify/swapped-panels.ts';
import { verificationFault } from '../../core/verify/verification-fault.ts';
import type { VerificationFault, VerificationFaultCode } from '../../core/verify/verification-report.ts';
import { openPdfSource, pdfCodecs } from '../files/pdf-source.ts';
import { type HashedSize, hashFile } from '../files/sha256.ts';
import { panelWithoutContours } from './without-contours.ts';

export interface ReadingTools {
  readonly manifest: Manifest;
  readonly folder: string;
  readonly source: VerificationSource;
  /** The path for a copy without cut contours, by the name of the file. */
  copyPath(file: string): string;
  /** Called and awaited every few milliseconds of work; throws to stop. */
  pause(): Promise<void> | void;
}

export interface ReadPanel {
  readonly panel: ManifestPanel;
  readonly faults: readonly VerificationFault[];
  /** Absent where the file is missing, cannot be opened, or contains another panel. */
  readonly opened?: {
    readonly file: PdfFile;
    /** The file that is drawn. */
    readonly path: string;
    readonly userUnit: number;
    readonly samples: readonly SamplesClaimed[];
    /** Whether everything that it paints could be read and compared. */
    readonly isRead: boolean;
  };
}

export async function readPanel(panel: ManifestPanel, tools: ReadingTools): Promise<ReadPanel> {
  const { label, file } = panel;
  const path = join(tools.folder, ...file.split(posix.sep));
  const hashed = await hashIfThere(path);
  if (!hashed) {
    const text = `The file of panel ${label}, ${file}, is not there.`;
    return { panel, faults: [faultOf(panel, 'panel-missing', text)] };
  }
  const faults: VerificationFault[] = [];
  if (manifestHashes(tools.manifest).get(file) !== hashed.sha256) {
    const text = `The file of panel ${label} is not the one that the manifest lists: its bytes have changed.`;
    faults.push(faultOf(panel, 'file-changed', text));
  }
  const opened = await panelDocument(await openPdfSource(path), pdfCodecs);
  if (!opened.ok) {
    const text = `The file of panel ${label} cannot be read: ${opened.problem.message}`;
    return { panel, faults: [...faults, faultOf(panel, 'file-damaged', text)] };
  }
  const document = opened.value;
  const found = { panel, sha256: hashed.sha256, window: shownRect(panel, document, tools.source) };
  const held = panelHeld(found, tools.manifest.panels, manifestHashes(tools.manifest));
  if (held) {
    const fault = faultOf(panel, 'panels-swapped', `The file of panel ${label} holds panel ${held.label}.`);
    return { panel, faults: [...faults, { ...fault, panels: [label, held.label] }] };
  }
  const drawn = document.contours ? await panelWithoutContours(path, document, tools.copyPath(file)) : path;
  return await readDocument(panel, { document, path: drawn }, faults, tools);
}

export const faultOf = (
  { label, sideCode }: ManifestPanel,
  code: VerificationFaultCode,
  message: string,
): VerificationFault => verificationFault(code, { panels: [label], sideCode }, message);

const manifestHashes = ({ files }: Manifest): Map<string, string> =>
  new Map(files.map(({ file, sha256 }) => [file, sha256]));

async function hashIfThere(path: string): Promise<HashedSize | undefined> {
  try {
    return await hashFile(path);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return undefined;
    throw error;
  }
}

/** The part of the artwork that the file shows. */
function shownRect(
  { source: { page, box } }: ManifestPanel,
  { art }: PanelDocument,
  { artwork }: VerificationSource,
): Rect<'drawn'> | undefined {
  const found = pageWithSpace(artwork, page, box);
  return found.ok && art?.box ? found.value.space.rectFromBox(art.box) : undefined;
}

async function readDocument(
  panel: ManifestPanel,
  { document, path }: { readonly document: PanelDocument; readonly path: string },
  found: readonly VerificationFault[],
  { source, pause }: ReadingTools,
): Promise<ReadPanel> {
  const { file } = document.pdf;
  const { userUnit } = document.geometry;
  const faults = [...found];
  let samples: readonly SamplesClaimed[] = [];
  let isRead = false;
  try {
    const structure = await panelStructure(panel, document, source, pause);
    faults.push(...structure.faults);
    ({ samples, isRead } = structure);
  } catch (error) {
    if (!isPdfProblem(error)) throw error;
    const text = `The file of panel ${panel.label} cannot be read whole: ${error.message}`;
    faults.push(faultOf(panel, 'file-damaged', text));
  }
  // Any read may discover damage, so this is checked last.
  if (file.isRepaired) {
    const text = `The file of panel ${panel.label} is damaged: part of it is missing, or its index is wrong.`;
    faults.push(faultOf(panel, 'file-damaged', text));
  }
  return { panel, faults, opened: { file, path, userUnit, samples, isRead } };
}
