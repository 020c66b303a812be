import type { OutputFile } from '../../core/contract/output-summary.ts';
import type { Manifest, ManifestFile, ManifestSheet } from '../../core/output/manifest.ts';
import { isDrawnKind } from '../../core/output/sheet-kind.ts';

/** What a manifest lists of the files that were written before it. */
export function filesListed(files: readonly OutputFile[]): Pick<Manifest, 'files' | 'sheets'> {
  const listed: ManifestFile[] = [];
  const sheets: ManifestSheet[] = [];
  for (const { name: file, kind, sha256, sizeBytes } of files) {
    if (kind === 'manifest') continue;
    if (isPrintKind(kind) || !isDrawnKind(kind)) listed.push({ file, kind, sha256, sizeBytes });
    else sheets.push({ file, kind });
  }
  return { files: listed, sheets };
}

/** What is sent to a printer. */
const isPrintKind = (kind: OutputFile['kind']): kind is 'panel' | 'strip' | 'color-strip' | 'fill' =>
  kind === 'panel' || kind === 'strip' || kind === 'color-strip' || kind === 'fill';
