/** A photo of a note: a small picture that opens. */
import { useState } from 'preact/hooks';
import type { PhotoFile } from '../../core/photos/photo-file.ts';
import { Button } from './button.tsx';
import { Dialog } from './dialog.tsx';
import { smallPhoto, wholePhoto } from './photo-copy.ts';
import { usePhoto } from './read-photo.ts';

interface PhotoProps {
  readonly photo: PhotoFile;
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
