/** Photos of the archive, as they are shown. */
import { useEffect, useState } from 'preact/hooks';
import type { PhotoFile } from '../../core/photos/photo-file.ts';
import { ask } from '../client/client.ts';
import type { smallPhoto } from './photo-copy.ts';

/** Makes what is shown of a photo: all of it or a small copy, upright. */
type Copy = typeof smallPhoto;

export async function readPhoto(
  { sha256 }: PhotoFile,
  copy: Copy,
  signal: AbortSignal,
): Promise<Blob | 'missing' | 'unreadable'> {
  const answer = await ask('photo:read', { sha256 }, { signal });
  if (!answer.ok || !answer.value) return 'missing';
  const { bytes, mediaType } = answer.value;
  return await copy({ bytes: bytes as Uint8Array<ArrayBuffer>, mediaType }).catch(() => 'unreadable');
}

/** Undefined while it is read. */
export function usePhoto(
  photo: PhotoFile,
  copy: Copy,
): { readonly url: string } | 'missing' | 'unreadable' | undefined {
  const [address, setAddress] = useState<ReturnType<typeof usePhoto>>();
  useEffect(() => {
    const abort = new AbortController();
    let url: string | undefined;
    void readPhoto(photo, copy, abort.signal).then((shown) => {
      if (abort.signal.aborted) return;
      if (typeof shown === 'string') return setAddress(shown);
      url = URL.createObjectURL(shown);
      setAddress({ url });
    });
    return () => {
      abort.abort();
      if (url !== undefined) URL.revokeObjectURL(url);
    };
  }, [photo.sha256]);
  return address;
}
