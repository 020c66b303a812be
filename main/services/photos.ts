/** Photos in the vault: cleaned on their way in, and given out again. */
import { readFile, rm, stat, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { ContractReply } from '../../core/contract/contract.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { PictureSize } from '../../core/photos/cleaned-picture.ts';
import { MOST_PHOTO_BYTES, MOST_PHOTO_PIXELS, photoCleaned } from '../../core/photos/photo.ts';
import type { PhotoFile } from '../../core/photos/photo-file.ts';
import type { Archive } from '../archive/port.ts';
import { tryFiles } from '../files/file-problem.ts';
import { makeScratchFolder } from '../files/scratch-folder.ts';

/** Cleans a photo and takes it into the vault. Problems: `photo-too-large`, `photo-unreadable`, those of files. */
export async function keepPhoto(
  archive: Archive,
  /** `fileName`: what people call it. */
  { path, fileName }: { readonly path: string; readonly fileName: string },
): Promise<Result<PhotoFile>> {
  return await tryFiles(path, async () => {
    const { size } = await stat(path);
    if (size > MOST_PHOTO_BYTES) return resultProblem(tooLarge(fileName, size));
    const original = new Uint8Array(await readFile(path));
    const photo = photoCleaned(original);
    if (!photo) return resultProblem(isHeic(original) ? heic(fileName) : unreadable(fileName));
    const { bytes, ...shown } = photo;
    if (photo.widthPx * photo.heightPx > MOST_PHOTO_PIXELS)
      return resultProblem(tooManyPixels(fileName, photo));
    const scratch = makeScratchFolder('photo');
    try {
      const cleaned = join(scratch, 'photo');
      await writeFile(cleaned, bytes, { mode: 0o600 });
      const { sha256 } = await archive.vault.add(cleaned);
      return resultOk({ ...shown, sha256, sizeBytes: bytes.length, fileName: fileName.slice(0, 255) });
    } finally {
      await rm(scratch, { recursive: true, force: true });
    }
  });
}

export async function readPhoto(
  archive: Archive,
  sha256: string,
): Promise<Result<ContractReply<'photo:read'>>> {
  if ((await archive.vault.state(sha256)) !== 'sound') return resultOk(null);
  const path = await archive.vault.path(sha256);
  // Only what is a photo: the vault holds much else.
  if ((await stat(path)).size > MOST_PHOTO_BYTES) return resultOk(null);
  const bytes = new Uint8Array(await readFile(path));
  const photo = photoCleaned(bytes);
  return resultOk(photo ? { bytes, mediaType: photo.mediaType } : null);
}

const megabytes = (bytes: number): string => `${Math.ceil(bytes / 1e6)} MB`;

const tooLarge = (fileName: string, size: number): Problem => ({
  code: 'photo-too-large',
  message: `${fileName} has ${megabytes(size)}; a photo may have at most ${megabytes(MOST_PHOTO_BYTES)}.`,
  remedy: 'Save a smaller copy of it and add that one.',
});

const megapixels = (pixels: number): number => Math.ceil(pixels / 1e6);

const tooManyPixels = (fileName: string, { widthPx, heightPx }: PictureSize): Problem => ({
  code: 'photo-too-large',
  message: `${fileName} has ${megapixels(widthPx * heightPx)} megapixels; a photo may have at most ${megapixels(MOST_PHOTO_PIXELS)}.`,
  remedy: 'Save a smaller copy of it and add that one.',
});

/** Phones write these: an ISO base media file of a brand for pictures in HEVC (ISO/IEC 23008-12, annex B). */
const isHeic = (bytes: Uint8Array): boolean =>
  /^ftyp(heic|heix|heim|heis|mif1|msf1)$/.test(Buffer.from(bytes.subarray(4, 12)).toString('latin1'));

const heic = (fileName: string): Problem => ({
  code: 'photo-heic',
  message: `${fileName} is a HEIC photo, which Panelwright does not read.`,
  remedy:
    'Open it on the phone or computer that it comes from, export it as JPEG, and select that. Phones have a setting to take JPEG.',
});

const unreadable = (fileName: string): Problem => ({
  code: 'photo-unreadable',
  message: `${fileName} is not a JPEG, PNG or WebP picture, or it is damaged.`,
  remedy: 'Save it as JPEG and add it again.',
});
