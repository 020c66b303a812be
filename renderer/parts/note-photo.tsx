/** A photo of a note: a small picture that opens. */
import { useEffect, useState } from 'preact/hooks';
import type { NotePhoto } from '../../core/contract/panel-note.ts';
import { ask } from '../client/client.ts';
import { Button } from './button.tsx';
import { Dialog } from './dialog.tsx';
import { smallPhoto, wholePhoto } from './photo-copy.ts';

interface PhotoProps {
  readonly photo: NotePhoto;
  /** The label of its panel. */
  readonly of: string;
}

export function SmallPhoto({ photo, of }: PhotoProps) {
  const [isOpen, setOpen] = useState(false);
  const address = usePhoto(photo, smallPhoto);
  const { fileName } = photo;
  if (address === 'missing') return <span class="quiet">{fileName} is missing from the archive.</span>;
  if (address === 'unreadable') return <span class="quiet">{fileName} cannot be shown.</span>;
  return (
    <>
      <button type="button" class="note-photo" title={`View ${fileName}`} onClick={() => setOpen(true)}>
        {address === undefined ? (
          <span class="quiet">Reading…</span>
        ) : (
          <img src={address.url} alt={`${fileName}, of ${of}`} />
        )}
      </button>
      {isOpen && (
        <Dialog title={fileName} isLarge onClose={() => setOpen(false)}>
          <WholePhoto photo={photo} of={of} />
          <div class="dialog-actions">
            <Button onClick={() => setOpen(false)}>Close</Button>
          </div>
        </Dialog>
      )}
    </>
  );
}

function WholePhoto({ photo, of }: PhotoProps) {
  const address = usePhoto(photo, wholePhoto);
  return (
    <div class="note-photo-whole">
      {typeof address === 'object' && <img src={address.url} alt={`${photo.fileName}, of ${of}`} />}
    </div>
  );
}

/** Undefined while it is read. `copy`: what is shown of the file. */
function usePhoto(
  { sha256 }: NotePhoto,
  copy: typeof smallPhoto,
): { readonly url: string } | 'missing' | 'unreadable' | undefined {
  const [address, setAddress] = useState<ReturnType<typeof usePhoto>>();
  useEffect(() => {
    const abort = new AbortController();
    let url: string | undefined;
    const read = async () => {
      const answer = await ask('note:photo', { sha256 }, { signal: abort.signal });
      if (abort.signal.aborted) return;
      if (!answer.ok || !answer.value) return setAddress('missing');
      const { bytes, mediaType } = answer.value;
      const shown = await copy({ bytes: bytes as Uint8Array<ArrayBuffer>, mediaType }).catch(() => undefined);
      if (abort.signal.aborted) return;
      if (!shown) return setAddress('unreadable');
      url = URL.createObjectURL(shown);
      setAddress({ url });
    };
    void read();
    return () => {
      abort.abort();
      if (url !== undefined) URL.revokeObjectURL(url);
    };
  }, [sha256]);
  return address;
}
