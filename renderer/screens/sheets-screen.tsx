/** The papers of the job as they will print. */
import { useEffect, useState } from 'preact/hooks';
import type { ContractReply } from '../../core/contract/contract.ts';
import { jobSet } from '../../core/job/edits/edits.ts';
import type { Job, Output } from '../../core/job/schema.ts';
import type { Problem } from '../../core/measure/result.ts';
import { SHEET_KINDS, SHEET_NAMES, type SheetKind } from '../../core/output/sheet-kind.ts';
import { ask } from '../client/client.ts';
import { Button } from '../parts/button.tsx';
import { Picture } from '../parts/picture.tsx';
import { editJob } from '../state/open-job.ts';

type DrawnKind = Exclude<SheetKind, 'table'>;
const KINDS = SHEET_KINDS.filter((kind): kind is DrawnKind => kind !== 'table');
const SIZES: readonly Output['mapSheet'][] = ['A4', 'A3', 'Letter', 'Tabloid'];
const PREVIEW_PX = 1800;

export function SheetsScreen({ job }: { readonly job: Job }) {
  const [kind, setKind] = useState<DrawnKind>('map');
  const [page, setPage] = useState(1);
  const [preview, setPreview] = useState<ContractReply<'sheet:preview'>>();
  const [problem, setProblem] = useState<Problem>();
  useEffect(() => {
    const abort = new AbortController();
    setProblem(undefined);
    void ask('sheet:preview', { job, kind, page, widthPx: PREVIEW_PX }, { signal: abort.signal }).then(
      (answer) => {
        if (abort.signal.aborted) return;
        if (answer.ok) setPreview(answer.value);
        else setProblem(answer.problem);
      },
    );
    return () => abort.abort();
  }, [job, kind, page]);

  const pageCount = preview?.pageCount ?? 1;
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
        <span class="toolbar-gap" />
        {SIZES.map((sheet) => (
          <Button
            key={sheet}
            isPressed={job.output.mapSheet === sheet}
            onClick={() => {
              editJob('Choose the sheet size', (current) =>
                jobSet(current, { change: { output: { ...current.output, mapSheet: sheet } } }),
              );
            }}
          >
            {sheet}
          </Button>
        ))}
      </div>
      {problem ? (
        <div class="empty">
          <p>{problem.message}</p>
          <p class="quiet">{problem.remedy}</p>
        </div>
      ) : (
        <Picture
          picture={preview?.picture}
          label={`${SHEET_NAMES[kind]}, page ${page} of ${pageCount}`}
          className="sheet-picture"
        />
      )}
    </div>
  );
}
