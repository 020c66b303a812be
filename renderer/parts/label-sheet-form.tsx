/** The sheet of labels that the printer is fed with: a common one, or the shop's own, measured with a ruler. */
import { useEffect, useState } from 'preact/hooks';
import { LabelGeometry } from '../../core/job/schema.ts';
import { itemAt } from '../../core/measure/present.ts';
import { LABEL_SHEETS } from '../../core/sheets/label-sheet.ts';
import { Button } from './button.tsx';
import { LengthField } from './length-field.tsx';
import { NumberField } from './number-field.tsx';
import { SelectField } from './select-field.tsx';

const AS_PAPER = 'as-paper';
const OWN = 'own';

interface LabelSheetFormProps {
  /** Absent: a common sheet of the paper of the install map. */
  readonly labels: LabelGeometry | undefined;
  readonly unit: 'mm' | 'in';
  onChange(labels: LabelGeometry | undefined): void;
}

const KNOWN: readonly { readonly value: string; readonly label: string; readonly geometry: LabelGeometry }[] =
  Object.entries(LABEL_SHEETS).map(([value, { name: label, ...geometry }]) => ({ value, label, geometry }));

const isSame = (a: LabelGeometry, b: LabelGeometry): boolean =>
  (Object.keys(a) as (keyof LabelGeometry)[]).every((field) => a[field] === b[field]);

const LENGTHS: readonly (readonly [keyof LabelGeometry, string])[] = [
  ['sheetWidthMm', 'Sheet width'],
  ['sheetHeightMm', 'Sheet height'],
  ['labelWidthMm', 'Label width'],
  ['labelHeightMm', 'Label height'],
  ['leftMm', 'Left edge of the sheet to the first label'],
  ['topMm', 'Top edge of the sheet to the first label'],
  ['pitchXMm', 'Left edge of a label to that of the next'],
  ['pitchYMm', 'Top edge of a label to that of the next'],
];

export function LabelSheetForm({ labels, unit, onChange }: LabelSheetFormProps) {
  const known = labels && KNOWN.find(({ geometry }) => isSame(geometry, labels));
  const kept = labels === undefined ? AS_PAPER : (known?.value ?? OWN);
  const [isOwn, setOwn] = useState(kept === OWN);
  useEffect(() => setOwn(kept === OWN), [kept]);
  const options = [
    { value: AS_PAPER, label: 'A common sheet of the paper of the install map' },
    ...KNOWN,
    { value: OWN, label: 'Our own, as measured' },
  ];
  return (
    <>
      <SelectField
        label="Label sheet"
        value={isOwn ? OWN : kept}
        options={options}
        onChange={(value) => {
          setOwn(value === OWN);
          if (value !== OWN) onChange(KNOWN.find((each) => each.value === value)?.geometry);
        }}
      />
      {isOwn && (
        <OwnSheet
          key={JSON.stringify(labels)}
          begun={labels ?? itemAt(KNOWN, unit === 'in' ? 2 : 0).geometry}
          unit={unit}
          onKeep={onChange}
        />
      )}
    </>
  );
}

interface OwnSheetProps {
  readonly begun: LabelGeometry;
  readonly unit: 'mm' | 'in';
  onKeep(labels: LabelGeometry): void;
}

/** Kept as a whole, because half of it fits no sheet. */
function OwnSheet({ begun, unit, onKeep }: OwnSheetProps) {
  const [draft, setDraft] = useState(begun);
  const [problem, setProblem] = useState<string>();
  const set = (change: Partial<LabelGeometry>) => {
    setDraft((before) => ({ ...before, ...change }));
    return undefined;
  };
  const keep = () => {
    const checked = LabelGeometry.safeParse(draft);
    setProblem(checked.success ? undefined : problemOf(draft, unit));
    if (checked.success) onKeep(checked.data);
  };
  return (
    <fieldset class="fields">
      <legend>Label sheet, as measured</legend>
      <NumberField label="Columns" value={draft.columns} onChange={(columns) => set({ columns })} />
      <NumberField label="Rows" value={draft.rows} onChange={(rows) => set({ rows })} />
      {LENGTHS.map(([field, label]) => (
        <LengthField
          key={field}
          label={label}
          mm={draft[field]}
          unit={unit}
          onChange={(mm) => set({ [field]: mm })}
        />
      ))}
      {problem && (
        <p role="alert" class="field-problem">
          {problem}
        </p>
      )}
      <Button onClick={keep}>Keep this label sheet</Button>
    </fieldset>
  );
}

/** One sentence: what does not fit, and what to measure again. */
function problemOf(draft: LabelGeometry, unit: 'mm' | 'in'): string {
  const { columns, rows, labelWidthMm, labelHeightMm, pitchXMm, pitchYMm } = draft;
  if (
    !Number.isInteger(columns) ||
    columns < 1 ||
    columns > 20 ||
    !Number.isInteger(rows) ||
    rows < 1 ||
    rows > 40
  )
    return 'A sheet has 1 to 20 columns and 1 to 40 rows of labels: count them again.';
  if (labelWidthMm < 50 || labelHeightMm < 30)
    return unit === 'in'
      ? 'A label is at least 2 × 1 3/16 in: less holds no code and number.'
      : 'A label is at least 50 × 30 mm: less holds no code and number.';
  if ((columns > 1 && pitchXMm < labelWidthMm) || (rows > 1 && pitchYMm < labelHeightMm))
    return 'The labels lie on each other: measure from the edge of one label to the same edge of the next.';
  return 'The labels reach past the sheet: measure the sheet, its first label and the distance of the labels again.';
}
