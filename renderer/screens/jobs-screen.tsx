/** All jobs of the archive: search, filter, open, duplicate, export, import, begin. */
import { useEffect, useRef, useState } from 'preact/hooks';
import { JOB_PROGRESS, JOB_PROGRESS_NAMES } from '../../core/output/job-progress.ts';
import { artworkProgress, cancelArtwork } from '../bench/artwork-import.ts';
import { ask, host } from '../client/client.ts';
import { Button } from '../parts/button.tsx';
import { Field } from '../parts/field.tsx';
import { JobSearchField } from '../parts/job-search-field.tsx';
import { SelectField } from '../parts/select-field.tsx';
import { WorkProgress } from '../parts/work-progress.tsx';
import { SharedPlanList } from '../production/shared-plan-list.tsx';
import { beginWithChosenArtwork, beginWithDroppedArtwork } from '../start/new-from-artwork.ts';
import { closeNewJob, isNewJobOpen, openCleaning, openNewJob } from '../state/dialogs.ts';
import {
  changeFilter,
  chosenJobIds,
  filter,
  isFiltered,
  type JobSummary,
  jobList,
  readJobList,
  viewAllJobs,
} from '../state/job-list.ts';
import { showDone, showProblem } from '../state/notices.ts';
import { showScreen } from '../state/route.ts';
import { shopItems } from '../state/shop.ts';
import { DeleteJobDialog } from './delete-dialog.tsx';
import { ImportDialog } from './import-dialog.tsx';
import { DuplicateDialog, InstalledDialog, NewJobDialog } from './job-dialogs.tsx';
import { chooseAndImport, importOfferedFile, importQuestion, jobWork } from './job-import.ts';
import { type JobActs, JobTable } from './job-table.tsx';
import { RecentJobs } from './recent-jobs.tsx';

export function JobsScreen() {
  const [duplicating, setDuplicating] = useState<JobSummary>();
  const [deleting, setDeleting] = useState<JobSummary>();
  const [installed, setInstalled] = useState<JobSummary>();
  const bundleInput = useRef<HTMLInputElement>(null);
  useEffect(() => void readJobList(), []);

  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: a place to drop artwork on; the button takes it by keyboard.
    <div
      class="jobs"
      onDragOver={(event) => event.preventDefault()}
      onDrop={(event) => {
        event.preventDefault();
        void takeDropped([...(event.dataTransfer?.files ?? [])]);
      }}
    >
      <div class="jobs-head">
        <h1>Jobs</h1>
        <Button
          isPrimary
          title="Or drop a PDF on this list: its sides, scale and panel layouts are suggested"
          onClick={beginWithChosenArtwork}
        >
          Begin with artwork
        </Button>
        <Button onClick={openNewJob}>New job</Button>
        <Button onClick={() => (host === 'desktop' ? chooseAndImport() : bundleInput.current?.click())}>
          Import a job file
        </Button>
        <input
          ref={bundleInput}
          type="file"
          accept=".pwjob"
          hidden
          aria-label="Job file to import"
          onChange={(event) => {
            const file = event.currentTarget.files?.[0];
            event.currentTarget.value = '';
            if (file) void importOfferedFile(file);
          }}
        />
        <Button onClick={openDemo}>Open the demo job</Button>
        <SharedRollsButtons />
        {/* The desktop has it in its menu. */}
        {host === 'browser' && <Button onClick={openCleaning}>Clean the vault</Button>}
      </div>
      {artworkProgress.value && <WorkProgress progress={artworkProgress.value} onCancel={cancelArtwork} />}
      {jobWork.progress.value && <WorkProgress progress={jobWork.progress.value} onCancel={jobWork.cancel} />}
      <RecentJobs />
      <Filters />
      <ListedJobs onDuplicate={setDuplicating} onDelete={setDeleting} onInstalled={setInstalled} />
      {shopItems.value.sharedRolls.length > 0 && (
        <section class="jobs-shared" aria-labelledby="jobs-shared-head">
          <h2 id="jobs-shared-head">Shared nestings</h2>
          <SharedPlanList />
        </section>
      )}
      {isNewJobOpen.value && <NewJobDialog onClose={closeNewJob} />}
      {importQuestion.value && <ImportDialog question={importQuestion.value} />}
      {duplicating && <DuplicateDialog source={duplicating} onClose={() => setDuplicating(undefined)} />}
      {installed && <InstalledDialog job={installed} onClose={() => setInstalled(undefined)} />}
      {deleting && <DeleteJobDialog job={deleting} onClose={() => setDeleting(undefined)} />}
    </div>
  );
}

/** A job file is imported; anything else is treated as artwork, and rejected by name where it is not. */
const takeDropped = async (files: readonly File[]): Promise<void> => {
  const jobFile = files.find(({ name }) => name.toLowerCase().endsWith('.pwjob'));
  await (jobFile ? importOfferedFile(jobFile) : beginWithDroppedArtwork(files));
};

const SHARE_WORDS = ['Tick jobs to share rolls', 'Tick one more job to share rolls'];

/** Ticked jobs still count when a filter hides them. */
function SharedRollsButtons() {
  const chosen = chosenJobIds.value;
  return (
    <>
      <Button
        isDisabled={chosen.length < 2}
        title="Tick two jobs or more that print on the same film"
        onClick={() => {
          showScreen({ screen: 'shared-rolls', jobIds: chosen });
          chosenJobIds.value = [];
        }}
      >
        {SHARE_WORDS[chosen.length] ?? `Nest ${chosen.length} jobs on shared rolls`}
      </Button>
      {chosen.length > 0 && (
        <Button
          onClick={() => {
            chosenJobIds.value = [];
          }}
        >
          Untick all
        </Button>
      )}
    </>
  );
}

function Filters() {
  const { text, from, until, progress, isArchived } = filter.value;
  return (
    <search class="jobs-filters">
      <JobSearchField
        text={text}
        onInput={(typed) => changeFilter({ text: typed })}
        onEnter={(typed) => void openScanned(typed)}
      />
      <Field label="Changed from">
        {(ids) => (
          <input
            class="input"
            type="date"
            value={from}
            onInput={(event) => changeFilter({ from: event.currentTarget.value })}
            {...ids}
          />
        )}
      </Field>
      <Field label="Changed until">
        {(ids) => (
          <input
            class="input"
            type="date"
            value={until}
            onInput={(event) => changeFilter({ until: event.currentTarget.value })}
            {...ids}
          />
        )}
      </Field>
      <SelectField
        label="State"
        value={progress}
        options={[
          { value: '', label: 'Any' },
          ...JOB_PROGRESS.map((value) => ({ value, label: JOB_PROGRESS_NAMES[value] })),
        ]}
        onChange={(chosen) => changeFilter({ progress: chosen })}
      />
      <label class="check">
        <input
          type="checkbox"
          checked={isArchived}
          onChange={(event) => changeFilter({ isArchived: event.currentTarget.checked })}
        />
        Archived jobs
      </label>
    </search>
  );
}

/** Announced separately for users who do not see the list change. */
function JobCount({ total }: { readonly total: number }) {
  return (
    <p class="quiet" role="status">
      {total.toLocaleString('en-US')} {total === 1 ? 'job' : 'jobs'}
    </p>
  );
}

function ListedJobs(acts: Omit<JobActs, 'onExport'>) {
  const list = jobList.value;
  if (!list) return <p class="waiting">Reading the archive…</p>;
  if (list.total === 0) return <NoJobs />;
  return (
    <>
      <JobCount total={list.total} />
      <JobTable list={list} onExport={exportJob} {...acts} />
    </>
  );
}

function NoJobs() {
  if (isFiltered.value) {
    return (
      <div class="empty">
        <p>
          {filter.value.text === ''
            ? 'No job matches the dates and the state that are selected.'
            : 'No job matches. Every word you type must begin a word of the job.'}
        </p>
        <Button onClick={viewAllJobs}>View all jobs</Button>
      </div>
    );
  }
  return (
    <div class="empty">
      <h2>No jobs yet</h2>
      <p>
        A job holds one vehicle: its artwork PDF, its sides, where the seams go, and all that was ever printed
        of it. Drop an artwork PDF here to begin one, or take the first steps with the demo job: a library’s
        bookmobile, ready to cut.
      </p>
      <Button onClick={() => showScreen({ screen: 'first-steps' })}>First steps, three minutes</Button>
    </div>
  );
}

async function openDemo(): Promise<void> {
  const demo = await jobWork.run('job:demo', {}, 'Opening the demo job');
  if (demo.ok) showScreen({ screen: 'bench', jobId: demo.value.id });
  else showProblem(demo.problem);
}

async function exportJob(job: JobSummary): Promise<void> {
  const folder = await ask('folder:choose', { title: 'Folder for the job file' });
  if (!folder.ok) return showProblem(folder.problem);
  if (!folder.value) return;
  const exported = await jobWork.run(
    'job:export',
    { id: job.id, folder: folder.value.token },
    'Exporting the job',
  );
  if (exported.ok) showDone(`${job.number} is in ${folder.value.name} as ${exported.value.fileName}.`);
  else showProblem(exported.problem);
}

/** The code of a sheet, label or panel from a hand scanner opens its job at the screen for entering its work. */
async function openScanned(text: string): Promise<void> {
  if (!/^\s*Job\s/.test(text)) return;
  const found = await ask('job:scanned', { text });
  if (!found.ok) return showProblem(found.problem);
  if (found.value) {
    changeFilter({ text: '' });
    showScreen({ screen: 'history', jobId: found.value.id });
    return;
  }
  showProblem({
    code: 'code-unknown',
    message: `The archive has no job of the code “${text.trim()}”.`,
    remedy: 'Scan it again, or search for the job by its number.',
  });
}
