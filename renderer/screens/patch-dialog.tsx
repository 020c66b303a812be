/** A patch for damage on a panel of an output: its place and what it covers; then writes it. */
import { useEffect, useRef, useState } from 'preact/hooks';
import type { ContractReply } from '../../core/contract/contract.ts';
import type { Job, StoredRect } from '../../core/job/schema.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import { EDGES, type Edge } from '../../core/measure/rect.ts';
import { ask } from '../client/client.ts';
import { Button } from '../parts/button.tsx';
import { Dialog } from '../parts/dialog.tsx';
import { TextField } from '../parts/field.tsx';
import { LengthField } from '../parts/length-field.tsx';
import { SelectField } from '../parts/select-field.tsx';
import { WorkProgress } from '../parts/work-progress.tsx';
import { showProblem } from '../state/notices.ts';
import { workSlot } from '../state/work.ts';
import { FilePicture } from './output-files.tsx';

const work = workSlot();

type PanelOfOutput = ContractReply<'reprint:panels'>['panels'][number];
type Plan = ContractReply<'patch:plan'>;

interface PatchDialogProps {
  readonly job: Job;
  readonly outputId: number;
  readonly panel: PanelOfOutput;
  /** The vehicle that was selected for a reprint. */
  readonly firstVehicle: string;
  onClose(): void;
}

/** Readable figures; half as large on a small panel. */
const FIRST_DAMAGE_MM = { mm: 100, in: 4 * 25.4 } as const;
const FIRST_STEP_MM = { mm: 10, in: 25.4 / 2 } as const;
const PLAN_AFTER_MS = 250;
const PICTURE_PX = 1200;

export function PatchDialog({ job, outputId, panel, firstVehicle, onClose }: PatchDialogProps) {
  const unit = job.displayUnit;
  const [damage, setDamage] = useState<StoredRect>(() => damageInMiddle(panel.finishedBox, unit));
  const [reason, setReason] = useState('');
  const [vehicle, setVehicle] = useState(firstVehicle);
  const [written, setWritten] = useState<ContractReply<'output:patch'>>();
  const { plan, problem } = usePlan(outputId, panel.label, damage);
  const progress = work.progressOf(outputId);
  const box = panel.finishedBox;
  const isOneOfSeveral = panel.unitNumbers.length > 1;
  const unitNumber = panel.unitNumbers.find((each) => each === vehicle);

  const write = async () => {
    const folder = await ask('folder:choose', { title: 'Folder for the patch' });
    if (!folder.ok) return showProblem(folder.problem);
    if (!folder.value) return;
    const request = {
      outputId,
      panelLabel: panel.label,
      damage,
      ...(isOneOfSeveral && unitNumber !== undefined && { unitNumber }),
      reason: reason.trim(),
      folder: folder.value.token,
    };
    const done = await work.run('output:patch', request, 'Writing the patch', outputId);
    if (done.ok) setWritten(done.value);
    else showProblem(done.problem);
  };

  const length = (
    label: string,
    mm: number,
    change: (mm: number) => Partial<StoredRect>,
    isPositive = false,
  ) => (
    <LengthField
      label={label}
      mm={mm}
      unit={unit}
      onChange={(typed) => {
        if (isPositive && typed <= 0) return 'It must be more than nothing.';
        setDamage({ ...damage, ...change(typed) });
        return undefined;
      }}
    />
  );
  const missing = !plan
    ? 'Draw the damage on the panel'
    : isOneOfSeveral && unitNumber === undefined
      ? 'Select the vehicle'
      : reason.trim() === ''
        ? 'Enter the reason'
        : undefined;
  return (
    <Dialog title={`Patch ${panel.label}`} isLarge onClose={onClose}>
      <form
        class="patch-form"
        onSubmit={(event) => {
          event.preventDefault();
          if (missing === undefined && !progress) void write();
        }}
      >
        <DamagePicture outputId={outputId} panel={panel} damage={damage} plan={plan} onDraw={setDamage} />
        <div class="form">
          <p class="quiet">Draw the damage on the panel, or type where it is.</p>
          {length('Damage from the left edge of the panel', damage.xMm - box.xMm, (mm) => ({
            xMm: box.xMm + mm,
          }))}
          {length('Damage from its top edge', damage.yMm - box.yMm, (mm) => ({ yMm: box.yMm + mm }))}
          <div class="pair">
            {length('Width of the damage', damage.widthMm, (mm) => ({ widthMm: mm }), true)}
            {length('Height of the damage', damage.heightMm, (mm) => ({ heightMm: mm }), true)}
          </div>
          {isOneOfSeveral && (
            <SelectField
              label="Vehicle that it is for"
              value={unitNumber ?? ''}
              options={[
                { value: '', label: 'Select a vehicle' },
                ...panel.unitNumbers.map((each) => ({ value: each, label: each })),
              ]}
              onChange={setVehicle}
            />
          )}
          <TextField label="Reason" value={reason} onInput={setReason} onChange={setReason} />
          <div role="status">
            {problem && <p>{problem}</p>}
            {plan && <PlanWords plan={plan} panel={panel} unit={unit} />}
            {written && (
              <p>
                Output {written.output.number} written to {written.output.folder}. {written.remarks.join(' ')}
              </p>
            )}
          </div>
          {progress && <WorkProgress progress={progress} onCancel={work.cancel} />}
          <div class="buttons">
            <Button isPrimary isSubmit isDisabled={missing !== undefined || progress !== undefined}>
              {missing ?? 'Select a folder and write the patch'}
            </Button>
            <Button onClick={onClose}>Close</Button>
          </div>
        </div>
      </form>
    </Dialog>
  );
}

function damageInMiddle({ xMm, yMm, widthMm, heightMm }: StoredRect, unit: Job['displayUnit']): StoredRect {
  const width = Math.min(FIRST_DAMAGE_MM[unit], widthMm / 2);
  const height = Math.min(FIRST_DAMAGE_MM[unit], heightMm / 2);
  const stepped = (mm: number) => Math.floor(mm / FIRST_STEP_MM[unit]) * FIRST_STEP_MM[unit];
  return {
    xMm: xMm + stepped((widthMm - width) / 2),
    yMm: yMm + stepped((heightMm - height) / 2),
    widthMm: width,
    heightMm: height,
  };
}

/** The answer to the latest damage; requested after a pause. */
function usePlan(outputId: number, panelLabel: string, damage: StoredRect) {
  const [answer, setAnswer] = useState<{ readonly plan?: Plan; readonly problem?: string }>({});
  useEffect(() => {
    const abort = new AbortController();
    const timer = setTimeout(() => {
      void ask('patch:plan', { outputId, panelLabel, damage }, { signal: abort.signal }).then((planned) => {
        if (abort.signal.aborted) return;
        setAnswer(
          planned.ok
            ? { plan: planned.value }
            : { problem: `${planned.problem.message} ${planned.problem.remedy}` },
        );
      });
    }, PLAN_AFTER_MS);
    return () => {
      clearTimeout(timer);
      abort.abort();
    };
  }, [outputId, panelLabel, damage]);
  return answer;
}

interface DamagePictureProps {
  readonly outputId: number;
  readonly panel: PanelOfOutput;
  readonly damage: StoredRect;
  readonly plan: Plan | undefined;
  onDraw(damage: StoredRect): void;
}

/** A smaller drag is a click, not damage. */
const LEAST_DRAWN_MM = 5;

function DamagePicture({ outputId, panel, damage, plan, onDraw }: DamagePictureProps) {
  const { filmBox: film, file, isMirrored, label } = panel;
  const from = useRef<{ readonly x: number; readonly y: number }>(undefined);
  const place = (event: PointerEvent & { currentTarget: SVGSVGElement }) => {
    const bounds = event.currentTarget.getBoundingClientRect();
    return {
      x: film.xMm + ((event.clientX - bounds.left) / bounds.width) * film.widthMm,
      y: film.yMm + ((event.clientY - bounds.top) / bounds.height) * film.heightMm,
    };
  };
  return (
    <div class="patch-picture" style={{ aspectRatio: `${film.widthMm} / ${film.heightMm}` }}>
      <div class={isMirrored ? 'is-mirrored' : ''}>
        <FilePicture outputId={outputId} name={file} widthPx={PICTURE_PX} />
      </div>
      <svg
        viewBox={`${film.xMm} ${film.yMm} ${film.widthMm} ${film.heightMm}`}
        preserveAspectRatio="none"
        role="img"
        aria-label={`Damage on ${label}; its figures are typed beside it`}
        onPointerDown={(event) => {
          event.currentTarget.setPointerCapture(event.pointerId);
          from.current = place(event);
        }}
        onPointerMove={(event) => {
          const start = from.current;
          if (!start) return;
          const now = place(event);
          const drawn = {
            xMm: Math.min(start.x, now.x),
            yMm: Math.min(start.y, now.y),
            widthMm: Math.abs(now.x - start.x),
            heightMm: Math.abs(now.y - start.y),
          };
          if (drawn.widthMm >= LEAST_DRAWN_MM && drawn.heightMm >= LEAST_DRAWN_MM) onDraw(drawn);
        }}
        onPointerUp={() => {
          from.current = undefined;
        }}
      >
        {plan && <Box className="patch-outline" box={plan.finishedBox} />}
        <Box className="patch-damage" box={damage} />
      </svg>
    </div>
  );
}

/** Black inside white, so that it is visible on any artwork. */
function Box({ box, className }: { readonly box: StoredRect; readonly className: string }) {
  const place = { x: box.xMm, y: box.yMm, width: box.widthMm, height: box.heightMm };
  return (
    <g class={className}>
      <rect class="patch-casing" {...place} />
      <rect {...place} />
    </g>
  );
}

const EDGE_NAMES: Readonly<Record<Edge, string>> = {
  top: 'Top',
  right: 'Right',
  bottom: 'Bottom',
  left: 'Left',
};

interface PlanWordsProps {
  readonly plan: Plan;
  readonly panel: PanelOfOutput;
  readonly unit: 'mm' | 'in';
}

function PlanWords({ plan, panel, unit }: PlanWordsProps) {
  const size = ({ widthMm, heightMm }: StoredRect) =>
    `${lengthText(widthMm, unit)} × ${lengthText(heightMm, unit)}`;
  const endWords = (end: Plan['ends'][Edge]): string => {
    if (end.kind === 'panel-edge') return `at the edge of ${panel.label}`;
    const where = end.kind === 'body-line' ? `at ${end.name}` : `on ${panel.label}`;
    return `${where}, laps the damage by ${lengthText(end.lapMm, unit)}`;
  };
  return (
    <>
      <p>
        <strong>{plan.label}</strong>: {size(plan.finishedBox)} when trimmed, {size(plan.filmBox)} on the
        roll.
      </p>
      <ul>
        {EDGES.map((edge) => (
          <li key={edge}>
            {EDGE_NAMES[edge]}: {endWords(plan.ends[edge])}
          </li>
        ))}
      </ul>
      {plan.isDamageBeyond && (
        <p>There is damage beside {panel.label}: the panel there needs a patch of its own.</p>
      )}
      {plan.cutCount > 0 && (
        <p>
          The edge of the patch cuts lettering in{' '}
          {plan.cutCount === 1 ? 'one place' : `${plan.cutCount} places`}.
        </p>
      )}
    </>
  );
}
