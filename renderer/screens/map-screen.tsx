/** The install map as it will print. */
import { useEffect, useState } from 'preact/hooks';
import type { ContractReply } from '../../core/contract.ts';
import { jobSet } from '../../core/job/edits.ts';
import type { Job, Output } from '../../core/job/schema.ts';
import type { Problem } from '../../core/measure/result.ts';
import { ask } from '../client/client.ts';
import { Button } from '../parts/button.tsx';
import { Picture } from '../parts/picture.tsx';
import { jobEdited } from '../state/open-job.ts';

const SHEETS: readonly Output['mapSheet'][] = ['A4', 'A3', 'Letter', 'Tabloid'];
const PREVIEW_PX = 1800;

export function MapScreen({ job }: { readonly job: Job }) {
  const [page, setPage] = useState(1);
  const [preview, setPreview] = useState<ContractReply<'map:preview'>>();
  const [problem, setProblem] = useState<Problem>();
  useEffect(() => {
    const abort = new AbortController();
    setProblem(undefined);
    void ask('map:preview', { job, page, widthPx: PREVIEW_PX }, { signal: abort.signal }).then((answer) => {
      if (abort.signal.aborted) return;
      if (answer.ok) setPreview(answer.value);
      else setProblem(answer.problem);
    });
    return () => abort.abort();
  }, [job, page]);

  const pageCount = preview?.pageCount ?? 1;
  return (
    <div class="sheet-screen">
      <div class="toolbar" role="toolbar" aria-label="Install map">
        <Button isDisabled={page <= 1} onClick={() => setPage(page - 1)}>
          Previous page
        </Button>
        <output>
          Page {Math.min(page, pageCount)} of {pageCount}
        </output>
        <Button isDisabled={page >= pageCount} onClick={() => setPage(page + 1)}>
          Next page
        </Button>
        <span class="toolbar-gap" />
        {SHEETS.map((sheet) => (
          <Button
            key={sheet}
            isPressed={job.output.mapSheet === sheet}
            onClick={() => {
              jobEdited('Choose the sheet size', (current) =>
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
          label={`Install map, page ${page} of ${pageCount}`}
          className="sheet-picture"
        />
      )}
    </div>
  );
}
