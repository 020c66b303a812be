/** The papers of the job as they will print. */
import { useSignalEffect } from '@preact/signals';
import { useMemo, useState } from 'preact/hooks';
import type { Picture as PictureBytes } from '../../core/contract/parts.ts';
import { type JobChange, jobSet } from '../../core/job/edits/edits.ts';
import {
  type Job,
  MOST_PROOF_REVISIONS,
  MOST_SEAM_OFF_MM,
  type Output,
  type SheetSettings,
} from '../../core/job/schema.ts';
import { type PaperKind, sheetPaper } from '../../core/job/sheet-paper.ts';
import { jobUnits } from '../../core/job/vehicles.ts';
import type { SeamShift } from '../../core/layout/seam-look.ts';
import { typedLengthText } from '../../core/measure/length-text.ts';
import type { Problem, Result } from '../../core/measure/result.ts';
import {
  type DataKind,
  isDrawnKind,
  SELECTED_SHEETS,
  type SelectedSheet,
  SHEET_NAMES,
} from '../../core/output/sheet-kind.ts';
import { seamShiftOf } from '../../core/sheets/seam-sheet.ts';
import { ask } from '../client/client.ts';
import { Button } from '../parts/button.tsx';
import { LabelSheetForm } from '../parts/label-sheet-form.tsx';
import { LengthField } from '../parts/length-field.tsx';
import { MapPageChoice } from '../parts/map-page-choice.tsx';
import { NumberField } from '../parts/number-field.tsx';
import { PicturePane } from '../parts/picture-pane.tsx';
import { printPages } from '../parts/print-pages.ts';
import { WorkProgress } from '../parts/work-progress.tsx';
import { openGuide } from '../state/dialogs.ts';
import { takeSoughtFinding } from '../state/finding-way.ts';
import { showDone, showProblem } from '../state/notices.ts';
import { editJob } from '../state/open-job.ts';
import { sheetWork as work, writeDesignerFindings } from './designer-findings.ts';
import { ProofChoice, ProofSigning } from './proof-signing.tsx';

type DrawnKind = Exclude<SelectedSheet, DataKind>;
const KINDS = SELECTED_SHEETS.filter(isDrawnKind);
type Paper = Output['mapSheet'];
const SIZES: readonly Paper[] = ['A4', 'A3', 'Letter', 'Tabloid'];
let lastEdition = 0;

/** Pages are rendered at about 250 ppi on the larger sheets. */
const PRINT_PX = 4096;

export function SheetsScreen({ job }: { readonly job: Job }) {
  const [kind, setKind] = useState<DrawnKind>('map');
  useSignalEffect(() => {
    if (takeSoughtFinding('sheets')) setKind('proof');
  });
  const [page, setPage] = useState(1);
  const [paper, setPaper] = useState({ pageCount: 1, width: 420, height: 297 });
  // A changed job makes a new sheet.
  const edition = useMemo(() => ++lastEdition, [job]);

  const draw = async (widthPx: number, signal: AbortSignal): Promise<Result<PictureBytes, Problem>> => {
    const answer = await ask('sheet:preview', { job, kind, page, widthPx }, { signal });
    if (!answer.ok) return answer;
    const { pageCount, picture } = answer.value;
    if (!signal.aborted) setPaper({ pageCount, width: picture.widthPx / 10, height: picture.heightPx / 10 });
    return { ok: true, value: picture };
  };

  const print = async () => {
    const pages: PictureBytes[] = [];
    for (let next = 1; next <= paper.pageCount; next++) {
      const what = `Drawing page ${next} of ${paper.pageCount} for the printer`;
      const request = { job, kind, page: next, widthPx: PRINT_PX };
      const drawn = await work.run('sheet:preview', request, what, job.id);
      if (!drawn.ok) return showProblem(drawn.problem);
      pages.push(drawn.value.picture);
    }
    await printPages(pages);
  };

  const save = async () => {
    const folder = await ask('folder:choose', { title: `Folder for the ${SHEET_NAMES[kind].toLowerCase()}` });
    if (!folder.ok) return showProblem(folder.problem);
    if (!folder.value) return;
    const request = { job, kind, folder: folder.value.token };
    const saved = await work.run('sheet:save', request, 'Saving the sheet', job.id);
    if (!saved.ok) return showProblem(saved.problem);
    showDone([`${saved.value.fileName} is in ${folder.value.name}.`, ...saved.value.remarks].join(' '));
  };

  const { pageCount } = paper;
  const progress = work.progressOf(job.id);
  return (
    <div class="sheet-screen">
      <h1 class="screen-reader-only">Sheets</h1>
      <div class="toolbar" role="toolbar" aria-label="Sheets">
        {KINDS.map((each) => (
          <Button
            key={each}
            isPressed={kind === each}
            onClick={() => {
              setKind(each);
              setPage(1);
              setPaper({ ...paper, pageCount: 1 });
            }}
          >
            {SHEET_NAMES[each]}
          </Button>
        ))}
        <span class="toolbar-gap" />
        <Button
          isDisabled={page <= 1}
          onClick={() => setPage(page - 1)}
          title="Previous page"
          spoken="Previous page"
        >
          ‹
        </Button>
        <output>
          Page {Math.min(page, pageCount)} of {pageCount}
        </output>
        <Button
          isDisabled={page >= pageCount}
          onClick={() => setPage(page + 1)}
          title="Next page"
          spoken="Next page"
        >
          ›
        </Button>
        <Button title="The system’s dialog asks for printer and copies" onClick={print}>
          Print
        </Button>
        <Button title="As PDF, to a folder of your choice" onClick={save}>
          Save
        </Button>
        <Button
          isDisabled={job.sides.length === 0}
          title="Thin lines for the designer to draw over"
          onClick={openGuide}
        >
          Panel guide
        </Button>
        <Button
          isDisabled={!job.artwork}
          title="A report, and a copy of the artwork with the same as annotations"
          onClick={writeDesignerFindings}
        >
          Findings for the designer
        </Button>
        <span class="toolbar-gap" />
        {SIZES.map((size) => (
          <Button
            key={size}
            isPressed={paperOf(job, kind) === size}
            onClick={() => {
              editJob('Set the sheet size', (now) => jobSet(now, { change: paperChange(now, kind, size) }));
            }}
          >
            {size}
          </Button>
        ))}
      </div>
      {(kind === 'map' || kind === 'map-lines') && (
        <MapPageChoice
          sheets={job.sheets}
          isForOne={jobUnits(job).length === 1}
          onChange={(label, change) => setSheets(label, change)}
        />
      )}
      {kind === 'proof' && (
        <div class="proof-bar">
          <ProofChoice
            proof={job.sheets?.proof}
            onChange={(proof) => setSheets('Set the customer proof', { proof })}
          />
          <NumberField
            label="Revision of the customer proof"
            value={job.proofRevision ?? 1}
            onChange={(proofRevision) => {
              if (
                !Number.isInteger(proofRevision) ||
                proofRevision < 1 ||
                proofRevision > MOST_PROOF_REVISIONS
              )
                return `Enter a whole number from 1 to ${MOST_PROOF_REVISIONS}.`;
              editJob('Set the revision of the customer proof', (now) =>
                jobSet(now, { change: { proofRevision } }),
              );
              return undefined;
            }}
          />
          <ProofSigning job={job} />
        </div>
      )}
      {kind === 'seams' && <SeamShiftFields job={job} />}
      {kind === 'labels' && (
        <LabelSheetForm
          labels={job.sheets?.labels}
          unit={job.displayUnit}
          onChange={(labels) => setSheets('Select the label sheet', { labels })}
        />
      )}
      {progress && <WorkProgress progress={progress} onCancel={work.cancel} />}
      <PicturePane
        name={`${kind} ${page} ${edition}`}
        label={`${SHEET_NAMES[kind]}, page ${page} of ${pageCount}`}
        widthMm={paper.width}
        heightMm={paper.height}
        isToScale={false}
        isWhole
        className="sheet-picture"
        draw={(_, widthPx, signal) => draw(widthPx, signal)}
      />
    </div>
  );
}

/** How far out of place a panel is shown at each seam. */
function SeamShiftFields({ job }: { readonly job: Job }) {
  const shift = seamShiftOf(job);
  const field = (key: keyof SeamShift, label: string, hint: string) => (
    <LengthField
      label={label}
      hint={hint}
      mm={shift[key]}
      unit={job.displayUnit}
      onChange={(mm) => {
        if (Math.abs(mm) > MOST_SEAM_OFF_MM)
          return `Enter ${typedLengthText(MOST_SEAM_OFF_MM, job.displayUnit)} at most.`;
        setSheets('Set how far panels are off', { seams: { ...shift, [key]: mm } });
        return undefined;
      }}
    />
  );
  return (
    <div class="proof-bar">
      {field('apartMm', 'Panels off across the seam', 'Below 0: toward its neighbor')}
      {field('alongMm', 'Panels off along the seam', 'Below 0: the other way')}
    </div>
  );
}

/** Undefined values are removed. */
function setSheets(
  label: string,
  change: { [K in keyof SheetSettings]: SheetSettings[K] | undefined },
): void {
  editJob(label, (now) => {
    const sheets = Object.entries({ ...now.sheets, ...change }).filter(([, value]) => value !== undefined);
    return jobSet(now, { change: { sheets: Object.fromEntries(sheets) } });
  });
}

const ownPaper = (kind: DrawnKind): PaperKind | undefined =>
  kind === 'ticket' || kind === 'packing-list' || kind === 'check-in' || kind === 'quote' || kind === 'proof'
    ? kind
    : undefined;

function paperOf(job: Job, kind: DrawnKind): Paper {
  const own = ownPaper(kind);
  return own ? sheetPaper(job, own) : job.output.mapSheet;
}

/** Sheets without a paper setting use that of the install map. */
function paperChange({ sheets, output }: Job, kind: DrawnKind, paper: Paper): JobChange {
  const own = ownPaper(kind);
  return own
    ? { sheets: { ...sheets, sizes: { ...sheets?.sizes, [own]: paper } } }
    : { output: { ...output, mapSheet: paper } };
}
