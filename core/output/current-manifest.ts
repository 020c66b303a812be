/**
 * The manifest of `current`, the folder of a job that production prints from: verified print files of one layout, each
 * with its output and hash.
 */
import { z } from 'zod';
import { valueAt } from '../measure/present.ts';
import type { Manifest } from './manifest.ts';

export const CURRENT_VERSION = 1;
/** Which draft of the version this is: a hash of its published schema, kept in step by `npm run schemas` and a test. */
export const CURRENT_SCHEMA = '4909f6108532cf95';

const hash = z.string().regex(/^[0-9a-f]{64}$/);

export const CurrentFile = z.strictObject({
  /** Path below the folder of the manifest, with forward slashes. */
  file: z.string().regex(/^(panels|strips)\/[A-Za-z0-9_-][A-Za-z0-9._-]*\.pdf$/),
  kind: z.enum(['panel', 'strip']),
  /** Number of the output that wrote it. */
  output: z.number().int().positive(),
  /** Labels of the panels that it holds. */
  panels: z.array(z.string()).min(1),
  /** Finished size ÷ size in the PDF: production enlarges by this. */
  enlargeBy: z.number().positive(),
  sha256: hash,
  sizeBytes: z.number().int().nonnegative(),
  /** Artwork that it was cut from. */
  artworkSha256: hash,
});

export const CurrentManifest = z.strictObject({
  format: z.literal('panelwright-current'),
  version: z.literal(CURRENT_VERSION),
  schema: z.literal(CURRENT_SCHEMA),
  program: z.strictObject({ name: z.literal('Panelwright'), version: z.string() }),
  job: z.strictObject({ id: z.string(), number: z.string(), name: z.string(), customer: z.string() }),
  /** The layout of all files, as in the manifests of their outputs. */
  layout: hash,
  files: z.array(CurrentFile),
});

export type CurrentFile = z.infer<typeof CurrentFile>;
export type CurrentManifest = z.infer<typeof CurrentManifest>;

export interface CurrentChange {
  /** The manifest after the change. */
  readonly manifest: CurrentManifest;
  /** Files of the output to add; files already there with the same bytes are not written again. */
  readonly coming: readonly CurrentFile[];
  /** Files to remove, including replaced ones. */
  readonly leaving: readonly CurrentFile[];
}

/**
 * The changes that a verified output makes to `current`. An output of the same layout replaces its panels and removes
 * strips with a panel that changed; an output of another layout replaces everything. Undefined, and nothing changes,
 * where an earlier output would replace a later one.
 */
export function currentChange(
  current: CurrentManifest | undefined,
  output: number,
  manifest: Manifest,
): CurrentChange | undefined {
  const { id, number, name, customer } = manifest.job;
  const before = current?.files ?? [];
  const isSameLayout = current?.layout === manifest.layout;
  if (!isSameLayout && before.some((file) => file.output > output)) return undefined;
  const later = new Set(before.filter((file) => file.output > output).map(({ file }) => file));
  const coming = printFiles(output, manifest).filter(({ file }) => !later.has(file));
  const staying = isSameLayout ? stayingFiles(before, coming) : [];
  const leaving = before.filter((file) => !staying.includes(file));
  const manifestAfter: CurrentManifest = {
    format: 'panelwright-current',
    version: CURRENT_VERSION,
    schema: CURRENT_SCHEMA,
    program: manifest.program,
    job: { id, number, name, customer },
    layout: manifest.layout,
    files: [...staying, ...coming].toSorted((a, b) => (a.file < b.file ? -1 : 1)),
  };
  return { manifest: manifestAfter, coming, leaving };
}

function stayingFiles(before: readonly CurrentFile[], coming: readonly CurrentFile[]): CurrentFile[] {
  const names = new Set(coming.map(({ file }) => file));
  const hashes = new Set(before.map(({ sha256 }) => sha256));
  const changed = new Set(
    coming.flatMap(({ kind, panels, sha256 }) => (kind === 'panel' && !hashes.has(sha256) ? panels : [])),
  );
  const bringsStrips = coming.some(({ kind }) => kind === 'strip');
  return before.filter(({ file, kind, panels }) => {
    if (names.has(file)) return false;
    // Strips of one nesting belong together and hold the panels as they were when nested.
    return kind === 'panel' || !(bringsStrips || panels.some((label) => changed.has(label)));
  });
}

/** Panels and strips of an output in the form that `current` lists. */
function printFiles(output: number, { panels, strips = [], files, artwork }: Manifest): CurrentFile[] {
  const listed = new Map(files.map((file) => [file.file, file]));
  const entry = (
    { file, enlargeBy }: { readonly file: string; readonly enlargeBy: number },
    kind: CurrentFile['kind'],
    labels: readonly string[],
  ): CurrentFile => {
    const { sha256, sizeBytes } = valueAt(listed, file);
    const holds = { output, panels: [...labels], enlargeBy };
    return { file, kind, ...holds, sha256, sizeBytes, artworkSha256: artwork.sha256 };
  };
  return [
    ...panels.map((panel) => entry(panel, 'panel', [panel.label])),
    ...strips.map((strip) =>
      entry(
        strip,
        'strip',
        strip.panels.map(({ label }) => label),
      ),
    ),
  ];
}
