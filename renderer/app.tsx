/** The frame: who and what at the top, the screen below, messages at the edge. */
import { useEffect } from 'preact/hooks';
import { Button } from './parts/button.tsx';
import { Notices } from './parts/notices.tsx';
import { ArtworkPassword } from './screens/artwork-password.tsx';
import { BenchScreen } from './screens/bench-screen.tsx';
import { HistoryScreen } from './screens/history-screen.tsx';
import { JobsScreen } from './screens/jobs-screen.tsx';
import { KeysSheet } from './screens/keys-sheet.tsx';
import { OutputScreen } from './screens/output-screen.tsx';
import { ProductionScreen } from './screens/production-screen.tsx';
import { SharedRollsScreen } from './screens/shared-rolls-screen.tsx';
import { SheetsScreen } from './screens/sheets-screen.tsx';
import { isKeysSheetOpen, showKeysSheet } from './state/dialogs.ts';
import { isReadOnly, job, leaveJob, openJob, saveState, takeOverJob } from './state/open-job.ts';
import { addressFromRoute, type Route, route } from './state/route.ts';

export function App() {
  const here = route.value;
  const jobId = 'jobId' in here ? here.jobId : undefined;
  useEffect(() => {
    if (jobId === undefined) void leaveJob();
    else void openJob(jobId);
  }, [jobId]);

  return (
    <div class="app">
      <a class="skip-link" href="#screen">
        Skip to the screen
      </a>
      <Header here={here} />
      <ArtworkPassword />
      <main id="screen" class="screen" tabIndex={-1}>
        <Screen here={here} />
      </main>
      {isKeysSheetOpen.value && <KeysSheet />}
      <Notices />
    </div>
  );
}

function Screen({ here }: { readonly here: Route }) {
  if (here.screen === 'jobs') return <JobsScreen />;
  if (here.screen === 'shared-rolls') return <SharedRollsScreen jobIds={here.jobIds} />;
  if (job.value?.id !== here.jobId) return <p class="waiting">Opening the job…</p>;
  switch (here.screen) {
    case 'bench':
      return <BenchScreen job={job.value} />;
    case 'production':
      return <ProductionScreen job={job.value} />;
    case 'sheets':
      return <SheetsScreen job={job.value} />;
    case 'output':
      return <OutputScreen job={job.value} />;
    case 'history':
      return <HistoryScreen job={job.value} />;
  }
}

const SCREEN_NAMES = {
  bench: 'Bench',
  production: 'Production',
  sheets: 'Sheets',
  output: 'Output',
  history: 'History',
} as const;

const SAVE_WORDS = {
  saved: 'Saved',
  waiting: 'Saving…',
  saving: 'Saving…',
  failed: 'Not saved',
  'read-only': 'Read only',
} as const;

function Header({ here }: { readonly here: Route }) {
  const current = job.value;
  const jobId = 'jobId' in here ? here.jobId : undefined;
  return (
    <header class="header">
      <a class="header-home" href="#/jobs" {...(here.screen === 'jobs' && { 'aria-current': 'page' })}>
        Jobs
      </a>
      {jobId !== undefined && (
        <>
          <nav class="header-screens" aria-label="Screens of this job">
            {(Object.keys(SCREEN_NAMES) as (keyof typeof SCREEN_NAMES)[]).map((screen) => (
              <a
                key={screen}
                href={addressFromRoute({ screen, jobId })}
                {...(here.screen === screen && { 'aria-current': 'page' })}
              >
                {SCREEN_NAMES[screen]}
              </a>
            ))}
          </nav>
          <div class="header-job">
            <strong>{current?.number}</strong> <span>{current?.name}</span>{' '}
            <span class="quiet">{current?.customer}</span>
          </div>
          <span class="header-save" role="status">
            {current && SAVE_WORDS[saveState.value]}
          </span>
          {isReadOnly.value && (
            <Button onClick={takeOverJob} title="The other window may only read the job from then on">
              Edit here instead
            </Button>
          )}
        </>
      )}
      <span class="header-gap" />
      <Button onClick={() => showKeysSheet()} title="Keys and comfort (F1)">
        Keys
      </Button>
    </header>
  );
}
