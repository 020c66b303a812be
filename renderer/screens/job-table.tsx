/**
 * The list of jobs. With a hundred thousand rows, only the visible ones are in the page; arrow keys, Page up, Page
 * down, Home and End lead to the others.
 */
import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks';
import type { Picture as PictureBytes } from '../../core/contract/parts.ts';
import type { JobOrder } from '../../core/contract/verbs-jobs.ts';
import { vehiclesShort } from '../../core/job/vehicles.ts';
import { present } from '../../core/measure/present.ts';
import { JOB_PROGRESS_NAMES } from '../../core/output/job-progress.ts';
import { MOST_SHARED_JOBS } from '../../core/production/shared-roll-record.ts';
import { dateText } from '../../core/shop/date-text.ts';
import { ask } from '../client/client.ts';
import { Button } from '../parts/button.tsx';
import { elementOf } from '../parts/elements.ts';
import { Menu, type MenuItem } from '../parts/menu.tsx';
import { PastTime } from '../parts/past-time.tsx';
import { Picture } from '../parts/picture.tsx';
import { type ListView, rowByKey, rowWindow, topWithRow } from '../parts/row-window.ts';
import {
  archiveJob,
  chosenJobIds,
  filter,
  type JobList,
  type JobSummary,
  jobAt,
  jobOrder,
  sortJobs,
  wantJobs,
} from '../state/job-list.ts';
import { addressFromRoute, showScreen } from '../state/route.ts';
import { shopProfile } from '../state/shop.ts';

/** Used until a row is measured. */
const ROW_PX = 68;
/** A job that is scrolled past quickly needs no picture. */
const PICTURE_DELAY_MS = 120;

export interface JobActs {
  onDuplicate(job: JobSummary): void;
  onExport(job: JobSummary): void;
  onDelete(job: JobSummary): void;
  onInstalled(job: JobSummary): void;
}

/** A control of a row: the target of keys that move through the list. */
interface FocusPlace {
  readonly row: number;
  readonly cell: number;
  readonly control: number;
}

const CONTROLS = 'a[href], button, input:enabled';

export function JobTable({ list, ...acts }: { readonly list: JobList } & JobActs) {
  const { total } = list;
  const frame = useRef<HTMLDivElement>(null);
  const [scrolled, setScrolled] = useState({ topPx: 0, heightPx: 600, rowPx: ROW_PX });
  const view: ListView = { ...scrolled, count: total };
  const { first, end } = rowWindow(view);
  const [menu, setMenu] = useState<OpenMenu>();
  const focused = useRef<FocusPlace>({ row: 0, cell: 0, control: 0 });
  /** The row may not be loaded yet. */
  const isFocusOwed = useRef(false);
  const active = focusPlace(frame.current, document.activeElement);
  const isFocusLost = active !== undefined && (active.row < first || active.row >= end);

  useEffect(() => wantJobs(first, end), [first, end, total]);

  const look = () => {
    const { topPx, heightPx, rowPx } = frameSize(elementOf(frame));
    setScrolled((now) => {
      // A rounded height would shift distant rows by many pixels.
      const row = Math.abs(now.rowPx - rowPx) < 0.5 ? now.rowPx : rowPx;
      if (now.topPx === topPx && now.heightPx === heightPx && now.rowPx === row) return now;
      return { topPx, heightPx, rowPx: row };
    });
  };
  useLayoutEffect(() => {
    const watcher = new ResizeObserver(look);
    watcher.observe(elementOf(frame));
    return () => watcher.disconnect();
  }, []);
  // Search results begin at the top.
  useLayoutEffect(() => {
    elementOf(frame).scrollTop = 0;
    look();
  }, [filter.value, jobOrder.value]);

  const payFocus = () => {
    const control = isFocusOwed.current ? controlAt(elementOf(frame), focused.current) : undefined;
    if (!control) return;
    isFocusOwed.current = false;
    control.focus({ preventScroll: true });
  };
  useLayoutEffect(() => {
    // The row that had the focus was scrolled away: the next arrow key continues from it.
    if (isFocusLost) elementOf(frame).focus({ preventScroll: true });
    payFocus();
  });

  const jobOfRow = (target: EventTarget | null): JobSummary | undefined => {
    const row = target instanceof HTMLElement ? target.closest<HTMLTableRowElement>('tr.jobs-row') : null;
    return row?.ariaRowIndex ? jobAt(list, Number(row.ariaRowIndex) - rowIndexOf(0)) : undefined;
  };
  const openRow = ({ target }: Event) => {
    const job = jobOfRow(target);
    // A button or link in the row handles its key itself.
    if (job && !(target as HTMLElement).closest('a, button')) showScreen({ screen: 'bench', jobId: job.id });
  };

  const openMenu = (event: MouseEvent) => {
    const job = jobOfRow(event.target);
    if (!job) return;
    event.preventDefault();
    const { bottom, left } = (event.target as HTMLElement).getBoundingClientRect();
    // The menu key gives no pointer position.
    const isByKey = event.clientX === 0 && event.clientY === 0;
    setMenu({ job, at: isByKey ? { xPx: left, yPx: bottom } : { xPx: event.clientX, yPx: event.clientY } });
  };

  const moveByKey = (event: KeyboardEvent) => {
    if (event.ctrlKey || event.altKey || event.metaKey || event.shiftKey) return;
    if (event.key === 'Enter') return openRow(event);
    const row = rowByKey(event.key, focused.current.row, view);
    if (row === undefined) return;
    event.preventDefault();
    focused.current = { ...focused.current, row };
    isFocusOwed.current = true;
    elementOf(frame).scrollTop = topWithRow(row, view);
    look();
    payFocus();
  };

  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: the keys move between the controls of the rows within
    <div
      ref={frame}
      class="jobs-table"
      tabIndex={-1}
      onScroll={look}
      onKeyDown={moveByKey}
      onDblClick={openRow}
      onContextMenu={openMenu}
      onFocusIn={({ target }) => {
        focused.current = focusPlace(frame.current, target) ?? focused.current;
      }}
      onFocusOut={({ relatedTarget }) => {
        if (relatedTarget) isFocusOwed.current = false;
      }}
    >
      <div style={{ height: `${first * scrolled.rowPx}px` }} />
      <table class="table" aria-label="Jobs" aria-rowcount={total + 1}>
        <thead>
          <tr aria-rowindex={1}>
            <th>
              <span class="screen-reader-only">Share rolls</span>
            </th>
            <th>
              <span class="screen-reader-only">Picture</span>
            </th>
            <SortedHead by="number">Number</SortedHead>
            <SortedHead by="name">Job</SortedHead>
            <SortedHead by="customer">Customer</SortedHead>
            <SortedHead by="unitNumber">Vehicle</SortedHead>
            <SortedHead by="progress">State</SortedHead>
            <SortedHead by="updatedAt">Last change</SortedHead>
            <th class="number">Outputs</th>
            <th>
              <span class="screen-reader-only">Actions</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {Array.from({ length: end - first }, (_, i) => (
            <JobRow key={first + i} row={first + i} job={jobAt(list, first + i)} onMenu={setMenu} />
          ))}
        </tbody>
      </table>
      <div style={{ height: `${(total - end) * scrolled.rowPx}px` }} />
      {menu && (
        <Menu
          label={`Job ${menu.job.number}`}
          items={jobMenu(menu.job, acts)}
          at={menu.at}
          onClose={() => setMenu(undefined)}
        />
      )}
    </div>
  );
}

interface OpenMenu {
  readonly job: JobSummary;
  readonly at: { readonly xPx: number; readonly yPx: number };
}

function jobMenu(job: JobSummary, { onDuplicate, onExport, onDelete, onInstalled }: JobActs): MenuItem[] {
  const go = (screen: 'bench' | 'reprint') => () => showScreen({ screen, jobId: job.id });
  const isArchived = job.archivedAt !== null;
  return [
    { label: 'Open', run: go('bench') },
    ...(job.outputCount > 0 ? [{ label: 'Reprint panels…', run: go('reprint') }] : []),
    { label: 'Enter the day installed…', run: () => onInstalled(job) },
    { label: 'Duplicate…', run: () => onDuplicate(job) },
    { label: 'Export as a file…', run: () => onExport(job) },
    {
      label: isArchived ? 'Put back into the list' : 'Archive',
      run: () => archiveJob(job, !isArchived),
    },
    { label: 'Delete…', run: () => onDelete(job) },
  ];
}

interface SortedHeadProps {
  readonly by: JobOrder['by'];
  readonly children: string;
}

function SortedHead({ by, children }: SortedHeadProps) {
  const { by: current, isDescending } = jobOrder.value;
  const isSorted = current === by;
  const order = isDescending ? 'descending' : 'ascending';
  return (
    <th {...(isSorted && { 'aria-sort': order })}>
      <button
        type="button"
        class="sort"
        title={`Sort by ${children.toLowerCase()}`}
        onClick={() => sortJobs(by)}
      >
        {children}
        <span aria-hidden="true">{isSorted ? (isDescending ? ' ▼' : ' ▲') : ''}</span>
      </button>
    </th>
  );
}

/** Header included, counted from 1. */
const rowIndexOf = (row: number): number => row + 2;

function frameSize(frame: HTMLElement): Omit<ListView, 'count'> {
  const rows = present(frame.querySelector('tbody'), 'The rows of the table');
  const rowPx =
    rows.childElementCount > 0 ? rows.getBoundingClientRect().height / rows.childElementCount : ROW_PX;
  const heightPx =
    frame.clientHeight - present(frame.querySelector('thead'), 'The head of the table').offsetHeight;
  return { topPx: frame.scrollTop, heightPx: Math.max(rowPx, heightPx), rowPx };
}

function focusPlace(frame: HTMLElement | null, element: EventTarget | null): FocusPlace | undefined {
  if (!(element instanceof HTMLElement) || !frame?.contains(element)) return undefined;
  const cell = element.closest('td');
  const row = element.closest('tr');
  if (!cell || !row) return undefined;
  const control = [...cell.querySelectorAll(CONTROLS)].indexOf(element);
  return {
    row: row.ariaRowIndex === null ? 0 : Number(row.ariaRowIndex) - rowIndexOf(0),
    cell: cell.cellIndex,
    control,
  };
}

/** The same control in another row, or the link to its job where it has no such control. */
function controlAt(frame: HTMLElement, { row, cell, control }: FocusPlace): HTMLElement | undefined {
  const found = frame.querySelector<HTMLTableRowElement>(`tr[aria-rowindex="${rowIndexOf(row)}"]`);
  const controls = found?.cells.item(cell)?.querySelectorAll<HTMLElement>(CONTROLS);
  return controls?.item(control) ?? found?.querySelector<HTMLElement>('a[href]') ?? undefined;
}

function JobRow({
  row,
  job,
  onMenu,
}: {
  readonly row: number;
  readonly job: JobSummary | undefined;
  onMenu(menu: OpenMenu): void;
}) {
  if (!job) {
    return (
      <tr class="jobs-row" aria-rowindex={rowIndexOf(row)}>
        <td colSpan={10} class="quiet">
          Reading the archive…
        </td>
      </tr>
    );
  }
  const chosen = chosenJobIds.value;
  const isChosen = chosen.includes(job.id);
  return (
    <tr class="jobs-row" aria-rowindex={rowIndexOf(row)}>
      <td>
        <input
          type="checkbox"
          class="jobs-tick"
          aria-label={`Nest ${job.number} on shared rolls`}
          checked={isChosen}
          disabled={chosen.length >= MOST_SHARED_JOBS && !isChosen}
          onChange={(event) => tickJob(job.id, event.currentTarget.checked)}
        />
      </td>
      <td>
        <Thumbnail key={job.id} job={job} />
      </td>
      <td>
        <div class="jobs-text">
          <a href={addressFromRoute({ screen: 'bench', jobId: job.id })}>{job.number}</a>
        </div>
      </td>
      <td>
        <div class="jobs-text">{job.name}</div>
      </td>
      <td>
        <div class="jobs-text">{job.customer}</div>
      </td>
      <td>
        <div class="jobs-text">{vehiclesShort(job)}</div>
      </td>
      <td>
        {JOB_PROGRESS_NAMES[job.progress]}
        {job.installedOn !== null && (
          <>
            {' '}
            <time class="quiet" dateTime={job.installedOn}>
              {dateText(job.installedOn, shopProfile.value.dateOrder)}
            </time>
          </>
        )}
      </td>
      <td>
        <PastTime at={job.updatedAt} />
      </td>
      <td class="number">
        {job.outputCount > 0 ? (
          <a
            href={addressFromRoute({ screen: 'history', jobId: job.id })}
            aria-label={`${job.outputCount} outputs of ${job.number}`}
          >
            {job.outputCount}
          </a>
        ) : (
          0
        )}
      </td>
      <td class="jobs-actions">
        <Button
          title={`What can be done with ${job.number}`}
          spoken={`Actions of ${job.number}`}
          hasMenu
          onClick={(button) => {
            const { left, bottom } = button.getBoundingClientRect();
            onMenu({ job, at: { xPx: left, yPx: bottom } });
          }}
        >
          Actions
        </Button>
      </td>
    </tr>
  );
}

function tickJob(id: string, isTicked: boolean): void {
  const others = chosenJobIds.value.filter((each) => each !== id);
  chosenJobIds.value = isTicked ? [...others, id] : others;
}

function Thumbnail({ job }: { readonly job: JobSummary }) {
  const [picture, setPicture] = useState<PictureBytes | null>();
  useEffect(() => {
    const abort = new AbortController();
    const timer = setTimeout(async () => {
      const answer = await ask('job:thumbnail', { id: job.id }, { signal: abort.signal });
      if (!abort.signal.aborted) setPicture(answer.ok ? answer.value : null);
    }, PICTURE_DELAY_MS);
    return () => {
      clearTimeout(timer);
      abort.abort();
    };
  }, [job.id, job.revision]);
  return <Picture picture={picture} label={`Artwork of ${job.number}`} className="thumbnail" />;
}
