/** The papers of the job as they will print. */
import { useEffect, useState } from 'preact/hooks';
import type { ContractReply } from '../../core/contract/contract.ts';
import { type JobChange, jobSet } from '../../core/job/edits/edits.ts';
import { type Job, MapPage, type Output, type SheetSettings } from '../../core/job/schema.ts';
import { type PaperKind, sheetPaper } from '../../core/job/sheet-paper.ts';
import type { Problem } from '../../core/measure/result.ts';
import { SHEET_KINDS, SHEET_NAMES, type SheetKind } from '../../core/output/sheet-kind.ts';
import { ask } from '../client/client.ts';
import { Button } from '../parts/button.tsx';
import { Picture } from '../parts/picture.tsx';
import { editJob } from '../state/open-job.ts';

type DrawnKind = Exclude<SheetKind, 'table'>;
const KINDS = SHEET_KINDS.filter((kind): kind is DrawnKind => kind !== 'table');
type Paper = Output['mapSheet'];
const SIZES: readonly Paper[] = ['A4', 'A3', 'Letter', 'Tabloid'];
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
        {SIZES.map((paper) => (
          <Button
            key={paper}
            isPressed={paperOf(job, kind) === paper}
            onClick={() => {
              editJob('Select the paper', (now) => jobSet(now, { change: paperChange(now, kind, paper) }));
            }}
          >
            {paper}
          </Button>
        ))}
      </div>
      {(kind === 'map' || kind === 'map-lines') && <MapPages job={job} />}
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

const ownPaper = (kind: DrawnKind): PaperKind | undefined =>
  kind === 'ticket' || kind === 'packing-list' || kind === 'check-in' ? kind : undefined;

function paperOf(job: Job, kind: DrawnKind): Paper {
  const own = ownPaper(kind);
  return own ? sheetPaper(job, own) : job.output.mapSheet;
}

/** The paper of the install map is that of every kind without one of its own. */
function paperChange({ sheets, output }: Job, kind: DrawnKind, paper: Paper): JobChange {
  const own = ownPaper(kind);
  return own
    ? { sheets: { ...sheets, sizes: { ...sheets?.sizes, [own]: paper } } }
    : { output: { ...output, mapSheet: paper } };
}

const PAGE_NAMES: Readonly<Record<MapPage, string>> = {
  crew: 'Page one',
  sides: 'Sides',
  heat: 'Heat plan',
  wall: 'Wall overview',
  cautions: 'Cautions and sizes',
};

const CARD_NAMES = {
  'many-panels': 'Cards above 12 panels',
  always: 'Cards always',
  never: 'No cards',
} as const;

/** Whoever wants less paper ticks off kinds of page. */
function MapPages({ job }: { readonly job: Job }) {
  const chosen = job.sheets?.mapPages ?? MapPage.options;
  const cards = job.sheets?.panelCards ?? 'many-panels';
  const set = (label: string, change: SheetSettings) => {
    editJob(label, (now) => jobSet(now, { change: { sheets: { ...now.sheets, ...change } } }));
  };
  return (
    <div class="toolbar" role="toolbar" aria-label="Pages of the install map">
      {MapPage.options.map((page) => (
        <Button
          key={page}
          isPressed={chosen.includes(page)}
          onClick={() => {
            const mapPages = MapPage.options.filter((each) => (each === page) !== chosen.includes(each));
            set('Select pages of the map', { mapPages });
          }}
        >
          {PAGE_NAMES[page]}
        </Button>
      ))}
      <span class="toolbar-gap" />
      {(['many-panels', 'always', 'never'] as const).map((choice) => (
        <Button
          key={choice}
          isPressed={cards === choice}
          onClick={() => set('Select panel cards', { panelCards: choice })}
        >
          {CARD_NAMES[choice]}
        </Button>
      ))}
    </div>
  );
}
