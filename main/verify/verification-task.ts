/** Verifies the files in a folder; the request consists of plain values. */
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { Job } from '../../core/job/schema.ts';
import type { Result } from '../../core/measure/result.ts';
import { manifestFromJson } from '../../core/output/manifest-json.ts';
import type { VerificationReport } from '../../core/verify/verification-report.ts';
import type { OpenedArtwork } from '../artwork/artwork-file.ts';
import { MANIFEST_NAME } from '../files/staged-folder.ts';
import { jobKnown } from '../job/job-state.ts';
import { type VerificationTools, verifyWrittenFiles } from './output-verification.ts';

export interface FolderToVerify {
  readonly job: Job;
  readonly folder: string;
  /** Panels that were to be written; absent: all. */
  readonly panelIds?: readonly string[];
}

/** Problems: those of `manifestFromJson`, those of `verifyWrittenFiles`. */
export async function verifyFolder(
  { job, folder, panelIds }: FolderToVerify,
  artwork: OpenedArtwork,
  tools: VerificationTools,
): Promise<Result<VerificationReport>> {
  const text = await readFile(join(folder, MANIFEST_NAME), 'utf8').catch(() => undefined);
  const manifest = manifestFromJson(text, `in ${folder}`);
  if (!manifest.ok) return manifest;
  const state = jobKnown(job, artwork);
  const chosen = panelIds && new Set(panelIds);
  // A selection of all panels counts as no selection: the panels must then cover their sides too.
  const isAll = state.layouts.every(({ panels }) => panels.every(({ id }) => chosen?.has(id)));
  return await verifyWrittenFiles(
    { manifest: manifest.value, folder, state, artwork, ...(chosen && !isAll && { panelIds: chosen }) },
    tools,
  );
}
