/** The dialog that writes a guide of the panels for the designer of the artwork. */
import { useState } from 'preact/hooks';
import { guideScale, isGuideOnPage } from '../../core/guide/guide-page.ts';
import type { Job } from '../../core/job/schema.ts';
import { sideOutline } from '../../core/job/side-outline.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import { MAX_PAGE_MM } from '../../core/measure/page-limits.ts';
import { REDUCTION_SCALES } from '../../core/sheets/sheet-scale.ts';
import { ask } from '../client/client.ts';
import { Button } from '../parts/button.tsx';
import { Choice } from '../parts/choice.tsx';
import { Dialog } from '../parts/dialog.tsx';
import { Field } from '../parts/field.tsx';
import { WorkProgress } from '../parts/work-progress.tsx';
import { closeGuide } from '../state/dialogs.ts';
import { showDone, showProblem } from '../state/notices.ts';
import { workSlot } from '../state/work.ts';

const work = workSlot();
const MOST_SCALE = 100;

export function GuideDialog({ job }: { readonly job: Job }) {
  const sides = job.sides.map((side) => ({ outline: sideOutline(side, job.scale), bleed: side.bleed }));
  const scales = [...new Set([...REDUCTION_SCALES.filter((each) => each <= MOST_SCALE), job.scale])]
    .filter((each) => sides.every((side) => isGuideOnPage(side, each)))
    .sort((a, b) => a - b);
  const [scale, setScale] = useState(() =>
    job.artwork && scales.includes(job.scale) ? job.scale : guideScale(sides),
  );
  const [files, setFiles] = useState<'one' | 'per-side'>('one');
  const [hasSvg, setSvg] = useState(false);
  const write = async () => {
    const folder = await ask('folder:choose', { title: 'Folder for the panel guide' });
    if (!folder.ok) return showProblem(folder.problem);
    if (!folder.value) return;
    const request = { job, folder: folder.value.token, scale, isFilePerSide: files === 'per-side', hasSvg };
    const written = await work.run('guide:write', request, 'Drawing the panel guide', job.id);
    if (!written.ok) return showProblem(written.problem);
    const { fileNames, folder: where, remarks } = written.value;
    closeGuide();
    showDone([`The panel guide is in ${where}: ${fileNames.join(', ')}.`, ...remarks].join(' '));
  };
  const progress = work.progressOf(job.id);
  return (
    <Dialog title="Panel guide" onClose={closeGuide}>
      <form
        class="form"
        onSubmit={(event) => {
          event.preventDefault();
          if (!progress) void write();
        }}
      >
        <p class="quiet">
          Thin lines for the designer to draw over, each kind on a layer of its own: sides with their bleed,
          panels, seams, no-film areas, and what to send back.
        </p>
        <Field
          label="Drawn at"
          hint={`A PDF page holds ${lengthText(MAX_PAGE_MM, job.displayUnit)}: only scales at which every side fits are listed.`}
        >
          {(ids) => (
            <select
              class="input"
              value={scale}
              onChange={(event) => setScale(Number(event.currentTarget.value))}
              {...ids}
            >
              {scales.map((each) => (
                <option key={each} value={each}>
                  {job.artwork && each === job.scale ? `1:${each}, as the artwork` : `1:${each}`}
                </option>
              ))}
            </select>
          )}
        </Field>
        <Choice<'one' | 'per-side'>
          label="Files"
          value={files}
          options={[
            { value: 'one', label: 'One PDF, a page for each side' },
            { value: 'per-side', label: 'A PDF for each side' },
          ]}
          onChange={setFiles}
        />
        <label class="check">
          <input type="checkbox" checked={hasSvg} onChange={(event) => setSvg(event.currentTarget.checked)} />
          Each side as SVG, too
        </label>
        {progress && <WorkProgress progress={progress} onCancel={work.cancel} />}
        <div class="dialog-actions">
          <Button onClick={closeGuide}>Close</Button>
          <Button isPrimary isSubmit isDisabled={progress !== undefined}>
            Select a folder and write the guide
          </Button>
        </div>
      </form>
    </Dialog>
  );
}
