/** What was noted at a panel, with its photos; and a form for more. */
import { useEffect, useRef, useState } from 'preact/hooks';
import type { PanelNote } from '../../core/contract/panel-note.ts';
import type { VehicleUnit } from '../../core/job/schema.ts';
import { sideVehicle } from '../../core/job/vehicles.ts';
import { keepNote, notesOfPanel, removeNote } from '../state/notes.ts';
import { job, layouts } from '../state/open-job.ts';
import { nameToSign, rememberName } from '../state/signature.ts';
import { Button } from './button.tsx';
import { TextField } from './field.tsx';
import { SmallPhoto } from './note-photo.tsx';
import { PastTime } from './past-time.tsx';
import { SelectField } from './select-field.tsx';

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
          <p class="quiet">
            {note.unitNumber !== undefined && `${note.unitNumber} · `}
            {note.by !== '' && `${note.by}, `}
            <PastTime at={note.at} />
          </p>
          {note.photos.length > 0 && (
            <div class="note-photos">
              {note.photos.map((photo) => (
                <SmallPhoto key={photo.sha256} photo={photo} of={note.panelLabel} />
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

/** The vehicles that the panel is on. */
function unitsOfPanel(panelId: string): readonly VehicleUnit[] {
  const layout = layouts.value.find(({ panels }) => panels.some(({ id }) => id === panelId));
  return job.value && layout ? sideVehicle(job.value, layout.side).units : [];
}

function NoteForm({ panelId, panelLabel, onClose }: PanelNotesProps & { onClose(): void }) {
  const [text, setText] = useState('');
  const [by, setBy] = useState(nameToSign());
  const [unitNumber, setUnitNumber] = useState('');
  const units = unitsOfPanel(panelId);
  const [files, setFiles] = useState<readonly File[]>([]);
  const [isKeeping, setKeeping] = useState(false);
  const form = useRef<HTMLFormElement>(null);
  useEffect(() => form.current?.querySelector('textarea')?.focus(), []);
  const isEmpty = text.trim() === '' && files.length === 0;
  const keep = async () => {
    setKeeping(true);
    const given = { panelId, panelLabel, text: text.trim(), by: by.trim() };
    const isKept = await keepNote({ ...given, ...(unitNumber !== '' && { unitNumber }) }, files);
    setKeeping(false);
    if (!isKept) return;
    rememberName(by);
    onClose();
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
      {units.length > 1 && (
        <SelectField
          label="Vehicle"
          value={unitNumber}
          options={[
            { value: '', label: 'all of them' },
            ...units.map((unit) => ({ value: unit.unitNumber, label: unit.unitNumber })),
          ]}
          onChange={setUnitNumber}
        />
      )}
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
          {isKeeping ? 'Saving…' : 'Save the note'}
        </Button>
      </div>
    </form>
  );
}
