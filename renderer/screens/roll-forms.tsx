/** Entered data of a roll on the shelf: what it is, its measured length, scrapped lengths. */
import { useState } from 'preact/hooks';
import { lengthFromText } from '../../core/measure/length-from-text.ts';
import { typedLengthText } from '../../core/measure/length-text.ts';
import type { StockFacts, StockRoll } from '../../core/shop/stock-roll.ts';
import { STOCK_USE_NAMES, STOCK_USES, type StockUse } from '../../core/shop/stock-use.ts';
import { Button } from '../parts/button.tsx';
import { Dialog } from '../parts/dialog.tsx';
import { Field, TextField } from '../parts/field.tsx';
import { SelectField } from '../parts/select-field.tsx';
import { shopItems, shopProfile } from '../state/shop.ts';

/** Rolls are longer than vehicles. */
const ROLL_RANGE = { leastMm: 0, greatestMm: 1_000_000 };

export const localToday = (): string => {
  const now = new Date();
  return new Date(now.getTime() - now.getTimezoneOffset() * 60_000).toISOString().slice(0, 10);
};

const unitOfShop = () => shopProfile.value.displayUnit;
/** Lengths of rolls are typed in meters or feet where no unit is named. */
const rollUnit = () => (unitOfShop() === 'mm' ? 'm' : 'ft');
const rollLength = (text: string) => lengthFromText(text, rollUnit(), ROLL_RANGE);

interface RollFormProps {
  readonly title: string;
  /** Absent: a new one. */
  readonly roll?: StockRoll;
  onKeep(facts: StockFacts, lengthMm: number): Promise<boolean>;
  onClose(): void;
}

/** Receives a roll, or corrects its data. */
export function RollForm({ title, roll, onKeep, onClose }: RollFormProps) {
  const [use, setUse] = useState<StockUse>(roll?.use ?? 'film');
  const [material, setMaterial] = useState(roll?.material ?? '');
  const [lotNumber, setLot] = useState(roll?.lotNumber ?? '');
  const [rollNumber, setRoll] = useState(roll?.rollNumber ?? '');
  const [width, setWidth] = useState(roll ? typedLengthText(roll.widthMm, unitOfShop()) : '');
  const [length, setLength] = useState('');
  const [place, setPlace] = useState(roll?.place ?? '');
  const [receivedOn, setReceived] = useState(roll?.receivedOn ?? localToday());
  const [useBy, setUseBy] = useState(roll?.useBy ?? '');
  const [isTried, setTried] = useState(false);
  const known = shopItems.value.materials.filter((item) => item.use === (use === 'laminate' ? use : 'film'));
  const widthMm = lengthFromText(width, unitOfShop());
  const lengthMm = rollLength(length);

  const takeKnown = (name: string) => {
    setMaterial(name);
    const item = known.find((each) => each.name === name);
    if (!item || roll) return;
    if (width === '') setWidth(typedLengthText(item.widthMm, unitOfShop()));
    if (length === '') setLength(typedLengthText(item.lengthMm, rollUnit()));
  };
  const keep = async () => {
    setTried(true);
    if (material.trim() === '' || rollNumber.trim() === '' || receivedOn === '' || !widthMm.ok) return;
    if (!roll && !lengthMm.ok) return;
    const facts = { use, material, lotNumber, rollNumber, widthMm: widthMm.value, place, receivedOn };
    const isKept = await onKeep(
      { ...facts, ...(useBy !== '' && { useBy }) },
      lengthMm.ok ? lengthMm.value : 0,
    );
    if (isKept) onClose();
  };
  const missing = (text: string, sentence: string) => (isTried && text.trim() === '' ? sentence : undefined);
  return (
    <Dialog title={title} onClose={onClose}>
      <form
        class="form"
        onSubmit={(event) => {
          event.preventDefault();
          void keep();
        }}
      >
        <SelectField<StockUse>
          label="What it is"
          value={use}
          options={STOCK_USES.map((value) => ({ value, label: STOCK_USE_NAMES[value] }))}
          onChange={setUse}
        />
        <Field label="Material" problem={missing(material, 'Enter what the film or laminate is called.')}>
          {(ids) => (
            <>
              <input
                class="input"
                list="roll-materials"
                value={material}
                onInput={(event) => takeKnown(event.currentTarget.value)}
                {...ids}
              />
              <datalist id="roll-materials">
                {known.map(({ id, name }) => (
                  <option key={id} value={name} />
                ))}
              </datalist>
            </>
          )}
        </Field>
        <div class="pair">
          <TextField
            label="Lot number"
            value={lotNumber}
            hint="Empty where it is not known"
            onInput={setLot}
            onChange={setLot}
          />
          <TextField
            label="Roll number"
            value={rollNumber}
            problem={missing(rollNumber, 'Enter the number on the roll, or one of your own.')}
            onInput={setRoll}
            onChange={setRoll}
          />
        </div>
        <div class="pair">
          <TextField
            label="True width"
            value={width}
            problem={isTried && !widthMm.ok ? widthMm.problem.message : undefined}
            onInput={setWidth}
            onChange={setWidth}
          />
          {!roll && (
            <TextField
              label="Length on it"
              value={length}
              problem={isTried && !lengthMm.ok ? lengthMm.problem.message : undefined}
              onInput={setLength}
              onChange={setLength}
            />
          )}
        </div>
        <TextField label="Place" value={place} onInput={setPlace} onChange={setPlace} />
        <div class="pair">
          <DateField label="Received on" value={receivedOn} onChange={setReceived} />
          <DateField label="Use by" value={useBy} onChange={setUseBy} />
        </div>
        <div class="dialog-actions">
          <Button onClick={onClose}>Cancel</Button>
          <Button isPrimary isSubmit>
            {roll ? 'Keep' : 'Receive'}
          </Button>
        </div>
      </form>
    </Dialog>
  );
}

interface DateFieldProps {
  readonly label: string;
  readonly value: string;
  onChange(value: string): void;
}

const DateField = ({ label, value, onChange }: DateFieldProps) => (
  <Field label={label}>
    {(ids) => (
      <input
        class="input"
        type="date"
        value={value}
        onInput={(event) => onChange(event.currentTarget.value)}
        {...ids}
      />
    )}
  </Field>
);

interface LengthDialogProps {
  readonly title: string;
  readonly label: string;
  readonly act: string;
  onKeep(lengthMm: number, note: string): Promise<boolean>;
  onClose(): void;
}

/** A length of film with a note: counted, or scrapped. */
export function LengthDialog({ title, label, act, onKeep, onClose }: LengthDialogProps) {
  const [length, setLength] = useState('');
  const [note, setNote] = useState('');
  const [isTried, setTried] = useState(false);
  const lengthMm = rollLength(length);
  const keep = async () => {
    setTried(true);
    if (lengthMm.ok && (await onKeep(lengthMm.value, note))) onClose();
  };
  return (
    <Dialog title={title} onClose={onClose}>
      <form
        class="form"
        onSubmit={(event) => {
          event.preventDefault();
          void keep();
        }}
      >
        <TextField
          label={label}
          value={length}
          problem={isTried && !lengthMm.ok ? lengthMm.problem.message : undefined}
          onInput={setLength}
          onChange={setLength}
        />
        <TextField label="Note" value={note} onInput={setNote} onChange={setNote} />
        <div class="dialog-actions">
          <Button onClick={onClose}>Cancel</Button>
          <Button isPrimary isSubmit>
            {act}
          </Button>
        </div>
      </form>
    </Dialog>
  );
}
