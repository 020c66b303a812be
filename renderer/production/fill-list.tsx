/** Small pieces for the waste beside the panels: typed here, or taken from what waits in the archive. */
import { useState } from 'preact/hooks';
import type { Job } from '../../core/job/schema.ts';
import { jobUnits } from '../../core/job/vehicles.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import { filmLengthText } from '../../core/measure/long-length.ts';
import { foundIn, present } from '../../core/measure/present.ts';
import { filmFill } from '../../core/production/fill-list.ts';
import type { FilmProduction } from '../../core/production/film-production.ts';
import { byNeed, type FillPlan, fillFits, fillItemId } from '../../core/rolls/fill-plan.ts';
import { type FillItem, freshFillId } from '../../core/shop/fill-item.ts';
import {
  FILL_KIND_NAMES,
  FILL_KINDS,
  FILL_NEED_NAMES,
  FILL_NEEDS,
  type FillKind,
  needOfKind,
} from '../../core/shop/fill-kind.ts';
import { Button } from '../parts/button.tsx';
import { TextField } from '../parts/field.tsx';
import { LengthField } from '../parts/length-field.tsx';
import { NumberField } from '../parts/number-field.tsx';
import { Section } from '../parts/section.tsx';
import { SelectField } from '../parts/select-field.tsx';
import { WorkProgress } from '../parts/work-progress.tsx';
import { workSlot } from '../state/work.ts';
import { useFilmAnswer } from './film-answer.ts';
import { setProduction } from './production-state.ts';

const work = workSlot();

const KINDS = FILL_KINDS.map((value) => ({ value, label: FILL_KIND_NAMES[value] }));
const NEEDS = FILL_NEEDS.map((value) => ({ value, label: FILL_NEED_NAMES[value] }));

interface FillListProps {
  /** As if it had the film in hand alone. */
  readonly job: Job;
  readonly made: FilmProduction;
}

const setFill = (label: string, fill: readonly FillItem[]) =>
  setProduction(label, { fill: fill.length === 0 ? undefined : [...fill] });

export function FillList({ job, made }: FillListProps) {
  const unit = job.displayUnit;
  const list = made.settings.fill ?? [];
  const fill = filmFill(made);
  const [largest] = fill.free;
  return (
    <Section title="Fill list">
      <p class="quiet">
        {largest
          ? `The largest waste beside the panels is ${sizeText(largest.box.x1 - largest.box.x0, largest.box.y1 - largest.box.y0, unit)}, across × along. Small pieces print there: no panel moves, and no roll gets longer.`
          : 'There is no waste beside the panels that a small piece fits in.'}
      </p>
      {list.length > 0 && (
        <ul class="shelf-offers" aria-label="Pieces on the fill list">
          {list.toSorted(byNeed).map((item) => (
            <li key={item.id}>
              <p>
                <strong>{item.label}</strong> {item.count > 1 && `× ${item.count}, `}
                {sizeText(item.widthMm, item.heightMm, unit)}: {placesText(item, fill, made, unit)}
              </p>
              <SelectField
                label={`Need of ${item.label}`}
                value={item.need}
                options={NEEDS}
                onChange={(need) =>
                  void setFill(
                    'Say how much a piece is needed',
                    list.map((each) => (each === item ? { ...item, need } : each)),
                  )
                }
              />
              <Button
                spoken={`Remove ${item.label}`}
                onClick={() =>
                  void setFill(
                    'Remove a piece from the fill list',
                    list.filter((each) => each !== item),
                  )
                }
              >
                Remove
              </Button>
            </li>
          ))}
        </ul>
      )}
      <Waiting job={job} list={list} fill={fill} />
      <AddPiece job={job} list={list} />
    </Section>
  );
}

const sizeText = (width: number, height: number, unit: Job['displayUnit']): string =>
  `${lengthText(width, unit)} × ${lengthText(height, unit)}`;

function placesText(item: FillItem, fill: FillPlan, made: FilmProduction, unit: Job['displayUnit']): string {
  const pieces = fill.placed.filter((piece) => fillItemId(piece.item.panelId) === item.id);
  const left = fill.left.get(item.id) ?? 0;
  const [first] = pieces;
  if (!first) return 'no room';
  const { rollId, xMm, yMm, turned } = first.place;
  const roll = foundIn(made.rolls, ({ id }) => id === rollId).label;
  const at = `${roll}, from ${filmLengthText(yMm, unit)}, ${lengthText(xMm, unit)} from its left edge${turned ? ', turned' : ''}`;
  const others = pieces.length > 1 ? `, and ${pieces.length - 1} more` : '';
  return `${at}${others}${left > 0 ? `; no room for ${left}` : ''}`;
}

interface WaitingProps {
  readonly job: Job;
  readonly list: readonly FillItem[];
  readonly fill: FillPlan;
}

function Waiting({ job, list, fill }: WaitingProps) {
  const { answer, progress } = useFilmAnswer(work, job, (request) =>
    work.run('fill:waiting', request, 'Looking for what waits', job.id),
  );
  const offered = (answer ?? []).filter(
    ({ source }) => !list.some((item) => item.source?.sha256 === source?.sha256),
  );
  return (
    <>
      {progress && <WorkProgress progress={progress} onCancel={work.cancel} />}
      {offered.length > 0 && (
        <ul class="shelf-offers" aria-label="Patches and reprints that wait">
          {offered.map((item) => (
            <li key={item.id}>
              <p>
                <strong>{item.label}</strong> waits to be printed,{' '}
                {sizeText(item.widthMm, item.heightMm, job.displayUnit)}:{' '}
                {fillFits(item, fill.free) ? 'fits' : 'no room'}
              </p>
              <Button
                spoken={`Take ${item.label}`}
                onClick={() =>
                  void setFill('Put a piece on the fill list', [...list, { ...item, id: freshFillId(list) }])
                }
              >
                Take it
              </Button>
            </li>
          ))}
        </ul>
      )}
    </>
  );
}

function AddPiece({ job, list }: Pick<WaitingProps, 'job' | 'list'>) {
  const [label, setLabel] = useState('');
  const [kind, setKind] = useState<FillKind>('unit-number');
  const [widthMm, setWidth] = useState<number>();
  const [heightMm, setHeight] = useState<number>();
  const [count, setCount] = useState(1);
  const units = jobUnits(job);
  const unit = job.displayUnit;
  const add = (labels: readonly string[]) => {
    const added = [...list];
    for (const each of labels)
      added.push({
        ...{ id: freshFillId(added), label: each.slice(0, 100), kind, need: needOfKind(kind) },
        ...{
          widthMm: present(widthMm, 'The width of a piece'),
          heightMm: present(heightMm, 'The height of a piece'),
          count,
        },
      });
    const refused = setFill('Put a piece on the fill list', added);
    if (refused === undefined) setLabel('');
  };
  const name = label.trim() || FILL_KIND_NAMES[kind];
  const isSized = widthMm !== undefined && heightMm !== undefined && widthMm > 0 && heightMm > 0;
  const set = (to: (mm: number) => void) => (mm: number) => {
    to(mm);
    return undefined;
  };
  return (
    <fieldset class="roll-fields">
      <legend>Add a piece</legend>
      <SelectField label="Kind of piece" value={kind} options={KINDS} onChange={(value) => setKind(value)} />
      <TextField label="Name of the piece" value={label} onChange={setLabel} onInput={setLabel} />
      <div class="pair">
        <LengthField label="Width on roll" mm={widthMm} unit={unit} onChange={set(setWidth)} />
        <LengthField label="Height on roll" mm={heightMm} unit={unit} onChange={set(setHeight)} />
      </div>
      <NumberField
        label="How many"
        value={count}
        onChange={(value) => {
          if (!Number.isInteger(value) || value < 1 || value > 200) return 'Enter 1 to 200.';
          setCount(value);
          return undefined;
        }}
      />
      <div class="buttons">
        <Button isDisabled={!isSized} onClick={() => add([name])}>
          Add it
        </Button>
        {units.length > 1 && (
          <Button
            isDisabled={!isSized}
            onClick={() => add(units.map(({ unitNumber }) => `${name} ${unitNumber}`))}
          >
            Add one for each vehicle
          </Button>
        )}
      </div>
    </fieldset>
  );
}
