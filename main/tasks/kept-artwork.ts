/** The artwork that tasks work on, kept open from one to the next. */
import { stat } from 'node:fs/promises';
import type { ArtworkScan } from '../../core/checks/scan/schema.ts';
import type { PageBox } from '../../core/measure/page-box.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import { type OpenedArtwork, openArtwork, scanArtwork } from '../artwork/artwork-file.ts';
import type { ScanStore } from '../artwork/scan-store.ts';
import { tryFiles } from '../files/file-problem.ts';
import { fileVersion } from '../files/file-version.ts';
import type { TaskTools } from './task-tools.ts';

export interface ArtworkAt {
  readonly path: string;
  readonly fileName: string;
  readonly box: PageBox;
  readonly password?: string;
}

/** The last artwork stays open: an operator asks for its facts, then for pictures, then for panels. */
let last: { readonly key: string; readonly opened: OpenedArtwork } | undefined;

export async function keptArtwork(
  at: ArtworkAt,
  { signal, report }: TaskTools,
  store?: ScanStore,
): Promise<Result<OpenedArtwork>> {
  // Facts of a file that has changed since no longer apply.
  const state = await stat(at.path).catch(() => undefined);
  const key = JSON.stringify([at, state && fileVersion(at.path, state)]);
  if (last?.key === key) return resultOk(last.opened);
  last = undefined;
  const onShare = (share: number) => report({ what: 'Reading the artwork', done: share, total: 1 });
  const opened = await openArtwork(at.path, at, { signal, onShare }, store);
  if (opened.ok) last = { key, opened: opened.value };
  return opened;
}

/** Contents of artworks, by hash and box: scanning is slow, but the result is small. */
const scans = new Map<string, ArtworkScan>();
const MAX_SCANS = 16;

/** Looked through as well, once for each file; `store` has what was seen in earlier sessions. */
export async function scannedArtwork(
  at: ArtworkAt,
  tools: TaskTools,
  store?: ScanStore,
): Promise<Result<OpenedArtwork & { readonly scan: ArtworkScan }>> {
  const opened = await keptArtwork(at, tools, store);
  if (!opened.ok) return opened;
  const { sha256, box } = opened.value.reference;
  const key = `${sha256} ${box}`;
  const known = scans.get(key);
  if (known) return resultOk({ ...opened.value, scan: known });
  const kept = await store?.scan(opened.value.reference);
  const { signal, report } = tools;
  const pageBegun = async (done: number, total: number) => {
    report({ what: `Checking page ${done + 1} of the artwork`, done, total });
    await yieldToOthers();
    signal.throwIfAborted();
  };
  const toScan = { ...opened.value, ...(kept && { scan: kept }) };
  const scanned = await tryFiles(at.path, async () => resultOk(await scanArtwork(toScan, pageBegun, signal)));
  if (!scanned.ok) return scanned;
  const { scan } = scanned.value;
  if (!kept) await store?.keep(opened.value.reference, scan);
  scans.set(key, scan);
  const [oldest] = scans.keys();
  if (scans.size > MAX_SCANS && oldest !== undefined) scans.delete(oldest);
  return scanned;
}

/** Other questions to this thread get their turn between pages. */
const yieldToOthers = () => new Promise((resolve) => setImmediate(resolve));
