/** What was noted at a panel, with its photos; and a form for more. */
import { useEffect, useRef, useState } from 'preact/hooks';
import type { NotePhoto, PanelNote } from '../../core/contract/panel-note.ts';
import { ask } from '../client/client.ts';
import { keepNote, notesOfPanel, removeNote } from '../state/notes.ts';
import { shopProfile } from '../state/shop.ts';
import { Button } from './button.tsx';
import { Dialog } from './dialog.tsx';
import { TextField } from './field.tsx';

interface PanelNotesProps {
  readonly panelId: string;
  readonly panelLabel: string;
}

export function PanelNotes({ panelId, panelLabel }: PanelNotesProps) {
  const [isWriting, setWriting] = useState(false);
  return (
    <>
      <NoteList notes={notesOfPanel(panelId)} canRemove />
      {isWriting ? (
        <NoteForm panelId={panelId} panelLabel={panelLabel} onClose={() => setWriting(false)} />
      ) : (
        <Button onClick={() => setWriting(true)} spoken={`Add a note at ${panelLabel}`}>
          Add a note
        </Button>
      )}
    </>
  );
}

export function NoteList({
  notes,
  canRemove = false,
}: {
  readonly notes: readonly PanelNote[];
  readonly canRemove?: boolean;
}) {
  if (notes.length === 0) return null;
  return (
    <ul class="notes">
      {notes.map((note) => (
        <li key={note.id} class="note">
          {note.text !== '' && <p>{note.text}</p>}
          <p class="quiet">{[note.by, note.at.slice(0, 16).replace('T', ' ')].filter(Boolean).join(', ')}</p>
          {note.photos.length > 0 && (
            <div class="note-photos">
              {note.photos.map((photo) => (
                <Photo key={photo.sha256} photo={photo} of={note.panelLabel} />
              ))}
            </div>
          )}
          {canRemove && (
            <Button onClick={() => removeNote(note)} spoken={`Remove this note of ${note.panelLabel}`}>
              Remove
            </Button>
          )}
        </li>
      ))}
    </ul>
  );
}

/** A small picture that opens. */
function Photo({ photo, of }: { readonly photo: NotePhoto; readonly of: string }) {
  const [isOpen, setOpen] = useState(false);
  const address = usePhoto(photo);
  const label = `Photo ${photo.fileName} of ${of}`;
  if (address === null) return <span class="quiet">{photo.fileName} is missing from the archive.</span>;
  return (
    <>
      <button type="button" class="note-photo" title={`View ${photo.fileName}`} onClick={() => setOpen(true)}>
        {address === undefined ? <span class="quiet">Reading…</span> : <img src={address} alt={label} />}
      </button>
      {isOpen && (
        <Dialog title={photo.fileName} isLarge onClose={() => setOpen(false)}>
          <div class="note-photo-whole">{address !== undefined && <img src={address} alt={label} />}</div>
          <div class="dialog-actions">
            <Button onClick={() => setOpen(false)}>Close</Button>
          </div>
        </Dialog>
      )}
    </>
  );
}

/** Undefined while it is read, null where the archive has lost it. */
function usePhoto({ sha256 }: NotePhoto): string | null | undefined {
  const [address, setAddress] = useState<string | null>();
  useEffect(() => {
    const abort = new AbortController();
    let made: string | undefined;
    void ask('note:photo', { sha256 }, { signal: abort.signal }).then((answer) => {
      if (abort.signal.aborted) return;
      if (!answer.ok || !answer.value) return setAddress(null);
      const { bytes, mediaType } = answer.value;
      made = URL.createObjectURL(new Blob([bytes as Uint8Array<ArrayBuffer>], { type: mediaType }));
      setAddress(made);
    });
    return () => {
      abort.abort();
      if (made !== undefined) URL.revokeObjectURL(made);
    };
  }, [sha256]);
  return address;
}

function NoteForm({ panelId, panelLabel, onClose }: PanelNotesProps & { onClose(): void }) {
  const [text, setText] = useState('');
  const [by, setBy] = useState(shopProfile.value.preparedBy);
  const [files, setFiles] = useState<readonly File[]>([]);
  const [isKeeping, setKeeping] = useState(false);
  const form = useRef<HTMLFormElement>(null);
  useEffect(() => form.current?.querySelector('textarea')?.focus(), []);
  const isEmpty = text.trim() === '' && files.length === 0;
  const keep = async () => {
    setKeeping(true);
    const isKept = await keepNote({ panelId, panelLabel, text: text.trim(), by: by.trim() }, files);
    setKeeping(false);
    if (isKept) onClose();
  };
  return (
    <form
      ref={form}
      class="form"
      aria-label={`New note at ${panelLabel}`}
      onSubmit={(event) => {
        event.preventDefault();
        if (!isEmpty && !isKeeping) void keep();
      }}
    >
      <TextField label="Note" value={text} isMultiline onInput={setText} onChange={setText} />
      <TextField label="By" value={by} onInput={setBy} onChange={setBy} />
      <label class="field">
        Photos
        <input
          type="file"
          accept="image/jpeg,image/png,image/webp"
          multiple
          onChange={(event) => setFiles([...(event.currentTarget.files ?? [])])}
        />
      </label>
      <p class="quiet">
        JPEG, PNG or WebP. Where a photo was taken, and by whom, is not kept. Nothing is printed.
      </p>
      <div class="buttons">
        <Button onClick={onClose}>Cancel</Button>
        <Button isPrimary isSubmit isDisabled={isEmpty || isKeeping}>
          {isKeeping ? 'Keeping…' : 'Keep the note'}
        </Button>
      </div>
    </form>
  );
}
