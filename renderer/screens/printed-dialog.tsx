/**
 * Enters the printing of an output: which rolls of the shelf it used, and how much of each. One confirmation for all.
 */
import { useEffect, useState } from 'preact/hooks';
import type { ContractReply } from '../../core/contract/contract.ts';
import type { OutputSummary } from '../../core/contract/output-summary.ts';
import { lengthFromText } from '../../core/measure/length-from-text.ts';
import { lengthText, typedLengthText } from '../../core/measure/length-text.ts';
import { rollLengthText } from '../../core/measure/long-length.ts';
import type { Mm } from '../../core/measure/units.ts';
import { printsFromText, printsText } from '../../core/output/printed-panels.ts';
import type { StockRoll } from '../../core/shop/stock-roll.ts';
import { materialKey, stockCode } from '../../core/shop/stock-text.ts';
import { Button } from '../parts/button.tsx';
import { Dialog } from '../parts/dialog.tsx';
import { Field, TextField } from '../parts/field.tsx';
import { SelectField } from '../parts/select-field.tsx';
import { WorkProgress } from '../parts/work-progress.tsx';
import { showDone, showProblem } from '../state/notices.ts';
import { shopProfile } from '../state/shop.ts';
import { enterAsking, readStock, stockEntry, stockRolls } from '../state/stock.ts';
import { workSlot } from '../state/work.ts';

const planning = workSlot();
const ROLL_RANGE = { leastMm: 0, greatestMm: 1_000_000 };

type Plan = ContractReply<'stock:plan-printed'>;

/** A piece of film or laminate taken off one roll, as typed. */
interface Piece {
  readonly kind: 'printed' | 'laminated';
  readonly material: string;
  readonly widthMm: Mm | undefined;
  readonly plannedMm: Mm;
  readonly panels: string;
  readonly length: string;
  readonly rollId: string;
  readonly isUsedUp: boolean;
}

const unitOfShop = () => shopProfile.value.displayUnit;
const runUnit = () => (unitOfShop() === 'mm' ? 'm' : 'ft');

function piecesOf({ rolls }: Plan): Piece[] {
  const piece = (
    kind: Piece['kind'],
    material: string,
    lengthMm: Mm,
    panelLabels: readonly string[],
    { rollId, widthMm }: { readonly rollId: string | undefined; readonly widthMm?: Mm | undefined },
  ): Piece => ({
    kind,
    material,
    widthMm,
    plannedMm: lengthMm,
    panels: printsText(panelLabels),
    length: typedLengthText(lengthMm, runUnit()),
    rollId: rollId ?? '',
    isUsedUp: false,
  });
  return rolls.flatMap(({ film, lengthMm, panelLabels, stockRollId, widthMm, laminate }) => [
    piece('printed', film, lengthMm, panelLabels, { rollId: stockRollId, widthMm }),
    ...(laminate
      ? [piece('laminated', laminate.name, laminate.lengthMm, panelLabels, { rollId: laminate.stockRollId })]
      : []),
  ]);
}

interface PrintedDialogProps {
  readonly output: OutputSummary;
  onClose(): void;
  onEntered(): Promise<void>;
}

export function PrintedDialog({ output, onClose, onEntered }: PrintedDialogProps) {
  const [pieces, setPieces] = useState<readonly Piece[]>();
  const [printings, setPrintings] = useState(0);
  const [known, setKnown] = useState<readonly string[]>([]);
  const [offPrinter, setOffPrinter] = useState(output.record?.offPrinter ?? '');
  const [isTried, setTried] = useState(false);
  useEffect(() => {
    void readStock();
    const request = { outputId: output.id };
    void planning.run('stock:plan-printed', request, 'Nesting panels on rolls', output.id).then((plan) => {
      if (!plan.ok) {
        showProblem(plan.problem);
        return onClose();
      }
      setPieces(piecesOf(plan.value));
      setPrintings(plan.value.printings);
      setKnown(plan.value.rolls.flatMap(({ panelLabels }) => panelLabels));
    });
    return () => planning.cancel();
  }, [output.id]);
  const title = `Output ${output.number} was printed`;
  if (!pieces) {
    const progress = planning.progressOf(output.id);
    return (
      <Dialog title={title} onClose={onClose}>
        {progress && <WorkProgress progress={progress} onCancel={planning.cancel} />}
        <div class="dialog-actions">
          <Button onClick={onClose}>Cancel</Button>
        </div>
      </Dialog>
    );
  }
  const change = (index: number, to: Partial<Piece>) =>
    setPieces(pieces.map((piece, at) => (at === index ? { ...piece, ...to } : piece)));
  const enter = async () => {
    setTried(true);
    const rolls = pieces.flatMap(({ kind, rollId, length, panels, isUsedUp }) => {
      const lengthMm = lengthFromText(length, runUnit(), ROLL_RANGE);
      const panelLabels = printsFromText(panels, known);
      if (rollId === '' || !lengthMm.ok || panelLabels.length === 0) return [];
      return [{ rollId, kind, lengthMm: lengthMm.value, panelLabels, isUsedUp }];
    });
    if (rolls.length < pieces.length) return;
    const request = { outputId: output.id, rolls, ...stockEntry() };
    const isEntered = await enterAsking('stock:printed', {
      ...request,
      ...(offPrinter !== '' && { offPrinter }),
    });
    if (!isEntered) return;
    showDone(`Output ${output.number} is entered as printed.`);
    await onEntered();
    await readStock();
    onClose();
  };
  return (
    <Dialog title={title} isLarge onClose={onClose}>
      <form
        class="form"
        onSubmit={(event) => {
          event.preventDefault();
          void enter();
        }}
      >
        <p>
          Each length goes off its roll. Lengths are as planned; change them to what was really used. Add a
          roll where one ran out and another took its place.
        </p>
        {printings > 0 && (
          <p role="status">
            It was entered as printed {printings === 1 ? 'once' : `${printings} times`} already.
          </p>
        )}
        {pieces.map((piece, index) => (
          <PieceFields
            key={index}
            piece={piece}
            isTried={isTried}
            onChange={(to) => change(index, to)}
            onRemove={() => setPieces(pieces.filter((_, at) => at !== index))}
            onAdd={() =>
              setPieces([...pieces.slice(0, index + 1), { ...piece, rollId: '' }, ...pieces.slice(index + 1)])
            }
          />
        ))}
        <Field label="Last panel off printer">
          {(ids) => (
            <input
              class="input"
              type="datetime-local"
              value={offPrinter.replace(' ', 'T')}
              onInput={(event) => setOffPrinter(event.currentTarget.value.slice(0, 16).replace('T', ' '))}
              {...ids}
            />
          )}
        </Field>
        <div class="dialog-actions">
          <Button onClick={onClose}>Cancel</Button>
          <Button isPrimary isSubmit isDisabled={pieces.length === 0}>
            Enter as printed
          </Button>
        </div>
      </form>
    </Dialog>
  );
}

interface PieceFieldsProps {
  readonly piece: Piece;
  readonly isTried: boolean;
  onChange(to: Partial<Piece>): void;
  onRemove(): void;
  onAdd(): void;
}

function PieceFields({ piece, isTried, onChange, onRemove, onAdd }: PieceFieldsProps) {
  const { kind, material, widthMm, plannedMm, length, panels, rollId, isUsedUp } = piece;
  const unit = unitOfShop();
  const verb = kind === 'printed' ? 'Printed on' : 'Laminated with';
  const lengthMm = lengthFromText(length, runUnit(), ROLL_RANGE);
  const rolls = rollsFor(stockRolls.value ?? [], piece);
  return (
    <fieldset class="roll-fields">
      <legend>
        {verb} {material}
        {widthMm !== undefined && `, ${lengthText(widthMm, unit)} wide`}:{' '}
        {typedLengthText(plannedMm, runUnit())} planned
      </legend>
      <div class="pair">
        <SelectField
          label="Roll"
          value={rollId}
          {...(isTried && rollId === '' && { hint: 'Select the roll, or remove this line.' })}
          options={[
            { value: '', label: rolls.length === 0 ? 'No such roll on the shelf' : 'Select a roll' },
            ...rolls.map((roll) => ({ value: roll.id, label: rollOption(roll, unit) })),
          ]}
          onChange={(id) => onChange({ rollId: id })}
        />
        <TextField
          label="Length used"
          value={length}
          problem={isTried && !lengthMm.ok ? lengthMm.problem.message : undefined}
          onInput={(text) => onChange({ length: text })}
          onChange={(text) => onChange({ length: text })}
        />
      </div>
      <TextField
        label="Panels on it"
        value={panels}
        problem={isTried && panels.trim() === '' ? 'Enter the panels, such as LH-03.' : undefined}
        onInput={(text) => onChange({ panels: text })}
        onChange={(text) => onChange({ panels: text })}
      />
      <label class="check">
        <input
          type="checkbox"
          checked={isUsedUp}
          onChange={(event) => onChange({ isUsedUp: event.currentTarget.checked })}
        />
        Nothing is left on this roll
      </label>
      <div class="buttons">
        <Button onClick={onAdd}>Add a roll</Button>
        <Button onClick={onRemove}>Remove</Button>
      </div>
    </fieldset>
  );
}

const rollOption = (roll: StockRoll, unit: 'mm' | 'in'): string =>
  `${stockCode(roll.number)}, ${roll.material}, ${roll.lotNumber === '' ? 'lot not known' : `lot ${roll.lotNumber}`}, ${lengthText(roll.widthMm, unit)}, ${rollLengthText(roll.leftMm, unit)} left`;

/** Rolls of the material first, among them those with the planned width; used-up rolls are left out. */
function rollsFor(rolls: readonly StockRoll[], { kind, material, widthMm, rollId }: Piece): StockRoll[] {
  const rank = (roll: StockRoll): number =>
    (materialKey(roll.material) === materialKey(material) ? 0 : 2) +
    (widthMm === undefined || Math.abs(roll.widthMm - widthMm) < 1 ? 0 : 1);
  return rolls
    .filter(
      (roll) =>
        (roll.use === 'laminate') === (kind === 'laminated') && (roll.leftMm > 0 || roll.id === rollId),
    )
    .toSorted((a, b) => rank(a) - rank(b) || a.leftMm - b.leftMm);
}
