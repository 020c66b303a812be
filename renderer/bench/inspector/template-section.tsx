/** The template of a side: selecting it, lining it up, and what its paths become. */
import { useLayoutEffect, useRef, useState } from 'preact/hooks';
import { sideTemplateSet, type TracedAs } from '../../../core/job/edits/edits.ts';
import {
  BodyLineKind,
  type Job,
  NoFilmKind,
  type Side,
  type SideTemplate,
} from '../../../core/job/schema.ts';
import { offerFile } from '../../client/client.ts';
import { Button } from '../../parts/button.tsx';
import { FileButton } from '../../parts/file-button.tsx';
import { Facts, Section } from '../../parts/section.tsx';
import { SelectField } from '../../parts/select-field.tsx';
import { WorkProgress } from '../../parts/work-progress.tsx';
import { showProblem } from '../../state/notices.ts';
import { editJob } from '../../state/open-job.ts';
import { tool } from '../bench-state.ts';
import { focusCanvas } from '../canvas-focus.ts';
import {
  keepTemplate,
  lineWidthText,
  offeredPaths,
  takeTrace,
  templatePaths,
  templateWork,
  tracePaths,
  traceView,
} from '../trace.ts';
import { TemplateDialog } from './template-dialog.tsx';
import { worded } from './worded.ts';

interface TemplateSectionProps {
  readonly job: Job;
  readonly side: Side;
}

export function TemplateSection({ job, side }: TemplateSectionProps) {
  /** One that is being lined up: new, or the one that is there. */
  const [placing, setPlacing] = useState<SideTemplate>();
  const { template } = side;
  const room = useRef<HTMLDivElement>(null);
  const isTracing = tool.value === 'trace';
  const isReading = templateWork.progress.value !== undefined;
  useLayoutEffect(() => {
    if (isTracing) room.current?.scrollIntoView({ block: 'nearest' });
  }, [isTracing, isReading]);
  const set = (label: string, next: SideTemplate | null) =>
    editJob(label, (now) => sideTemplateSet(now, { sideId: side.id, template: next }));
  return (
    <Section title="Template to trace">
      {template ? (
        <div ref={room} class="fields">
          <Facts
            rows={[
              ['From', template.file?.fileName ?? 'The artwork'],
              ['Page', String(template.page)],
              ['Layer', template.layer ?? 'All that shows'],
            ]}
          />
          {isTracing && <TraceFields />}
          <div class="buttons">
            <Button
              isPressed={isTracing}
              title="Click a path, or go to it by the arrow keys and press Enter (P)"
              onClick={() => {
                takeTrace();
                focusCanvas();
              }}
            >
              Trace its paths
            </Button>
            <Button onClick={() => setPlacing(template)}>Line it up…</Button>
            <Button onClick={() => void set('Remove the template', null)}>Remove the template</Button>
          </div>
        </div>
      ) : (
        <SelectTemplate job={job} side={side} onSelected={setPlacing} />
      )}
      {placing && (
        <TemplateDialog
          job={job}
          side={side}
          template={placing}
          onClose={() => setPlacing(undefined)}
          onKeep={(placed) => {
            setPlacing(undefined);
            if (set('Line up a template', placed)) return;
            takeTrace();
            // Once the dialog is gone, because while it is open nothing else gets the focus.
            requestAnimationFrame(focusCanvas);
          }}
        />
      )}
    </Section>
  );
}

interface SelectTemplateProps extends TemplateSectionProps {
  onSelected(template: SideTemplate): void;
}

function SelectTemplate({ job, side, onSelected }: SelectTemplateProps) {
  const [isReading, setReading] = useState(false);
  const select = async (pdf: File) => {
    setReading(true);
    const offered = await offerFile(pdf);
    if (offered.ok) {
      await keepTemplate(offered.value.token, ({ reference, pages }) =>
        onSelected({ file: reference, page: pages[0]?.number ?? 1 }),
      );
    } else showProblem(offered.problem);
    setReading(false);
  };
  return (
    <>
      <p>
        Outlines of the vehicle, on a layer of the artwork or in a PDF beside it, serve to trace body lines,
        doors and areas. They are never printed.
      </p>
      <div class="buttons">
        {job.artwork && <Button onClick={() => onSelected({ page: side.page ?? 1 })}>Select a layer…</Button>}
        <FileButton
          label="Template of the side"
          accept="application/pdf,.pdf"
          isDisabled={isReading}
          onFile={(pdf) => void select(pdf)}
        >
          {isReading ? 'Reading…' : 'Select a PDF…'}
        </FileButton>
      </div>
    </>
  );
}

const KINDS: readonly { readonly value: TracedAs['kind']; readonly label: string }[] = [
  { value: 'body-line', label: 'Body line' },
  { value: 'door', label: 'Door' },
  { value: 'no-film-area', label: 'No-film area' },
  { value: 'no-seam-area', label: 'No-seam area' },
];

const FIRST: Readonly<Record<TracedAs['kind'], TracedAs>> = {
  'body-line': { kind: 'body-line', lineKind: 'crease' },
  door: { kind: 'door' },
  'no-film-area': { kind: 'no-film-area', noFilmKind: 'window' },
  'no-seam-area': { kind: 'no-seam-area' },
};

const ANY = '';

/** What a click makes of a path, and which paths are offered. */
function TraceFields() {
  const progress = templateWork.progress.value;
  if (progress) return <WorkProgress progress={progress} onCancel={templateWork.cancel} />;
  const { as, color, lineWidth } = traceView.value;
  const view = (change: Partial<typeof traceView.value>) => {
    traceView.value = { ...traceView.value, ...change };
  };
  const paths = offeredPaths.value;
  const some = (values: readonly string[]) => [
    { value: ANY, label: 'Any' },
    ...[...new Set(values)].toSorted().map((value) => ({ value, label: value })),
  ];
  return (
    <>
      <SelectField
        label="A click makes"
        value={as.kind}
        options={KINDS}
        onChange={(kind) => view({ as: FIRST[kind] })}
      />
      {as.kind === 'body-line' && (
        <SelectField
          label="Kind of line"
          value={as.lineKind}
          options={worded(BodyLineKind.options)}
          onChange={(lineKind) => view({ as: { ...as, lineKind } })}
        />
      )}
      {as.kind === 'no-film-area' && (
        <SelectField
          label="Kind of area"
          value={as.noFilmKind}
          options={worded(NoFilmKind.options)}
          onChange={(noFilmKind) => view({ as: { ...as, noFilmKind } })}
        />
      )}
      <div class="pair">
        <SelectField
          label="Paths of color"
          value={color ?? ANY}
          options={some(templatePaths.value.map((path) => path.color))}
          onChange={(value) => view({ color: value || undefined })}
        />
        <SelectField
          label="Paths of line width"
          value={lineWidth ?? ANY}
          options={some(templatePaths.value.map(({ widthMm }) => lineWidthText(widthMm)))}
          onChange={(value) => view({ lineWidth: value || undefined })}
        />
      </div>
      <Button isDisabled={paths.length === 0} onClick={() => tracePaths(paths)}>
        {paths.length === 1 ? 'Trace the 1 path' : `Trace all ${paths.length} paths`}
      </Button>
    </>
  );
}
