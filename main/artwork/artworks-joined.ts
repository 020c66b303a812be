/** Several PDFs written as one file, which is an artwork as any other. */
import { open } from 'node:fs/promises';
import type { ArtworkFile } from '../../core/job/schema.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import { joinArtworks } from '../../core/pdf/document/artwork-join.ts';
import { withPdfProblems } from '../../core/pdf/page/artwork-problem.ts';
import { flateCodec } from '../cut/flate.ts';
import { pauseBetweenTurns } from '../files/called-off.ts';
import { tryFiles } from '../files/file-problem.ts';
import { type OpenedArtwork, openArtwork } from './artwork-file.ts';

interface FileToJoin {
  readonly path: string;
  readonly fileName: string;
  /** Used where the file asks for one. */
  readonly password?: string;
}

/** Their pages one file after the other; says of each file what it was. `to` is not there yet. */
export function artworksJoined(
  { files, to }: { readonly files: readonly FileToJoin[]; readonly to: string },
  { signal, onFile }: { readonly signal: AbortSignal; onFile(fileName: string, done: number): void },
): Promise<Result<ArtworkFile[]>> {
  return tryFiles(to, async () => {
    const opened: OpenedArtwork[] = [];
    for (const [done, { path, fileName, password }] of files.entries()) {
      onFile(fileName, done);
      const artwork = await openArtwork(
        path,
        { box: 'crop', fileName, ...(password !== undefined && { password }) },
        { signal },
      );
      if (!artwork.ok) return artwork;
      opened.push(artwork.value);
    }
    const output = await open(to, 'wx');
    try {
      const joined = await withPdfProblems(async () => {
        await joinArtworks(
          opened.map(({ artwork }) => artwork),
          {
            write: async (bytes) => void (await output.write(bytes)),
            rewind: async (length) => await output.truncate(length),
          },
          { flate: flateCodec(), pause: pauseBetweenTurns(signal) },
        );
        return resultOk(undefined);
      });
      if (!joined.ok) return joined;
    } finally {
      await output.close();
    }
    return resultOk(
      opened.map(({ reference: { fileName, sha256 }, artwork }) => ({
        fileName,
        sha256,
        pages: artwork.pages.length,
      })),
    );
  });
}
