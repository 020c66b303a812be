/** The frame: program and user at the top, the screen below, messages at the edge. */
import { useEffect } from 'preact/hooks';
import { host } from './client/client.ts';
import { AboutScreen } from './help/about-screen.tsx';
import { FirstStepsPage } from './help/first-steps-page.tsx';
import { FirstStepsStrip } from './help/first-steps-strip.tsx';
import { GlossaryScreen } from './help/glossary-screen.tsx';
import { HelpDialog } from './help/help-dialog.tsx';
import { WhatIsNew } from './help/what-is-new.tsx';
import { Button } from './parts/button.tsx';
import { JobHolderNote } from './parts/job-holder-note.tsx';
import { Notices } from './parts/notices.tsx';
import { StockQuestionDialog } from './parts/stock-question.tsx';
import { ArtworkPassword } from './screens/artwork-password.tsx';
import { BenchScreen } from './screens/bench-screen.tsx';
import { CompareScreen } from './screens/compare-screen.tsx';
import { CleanVaultDialog } from './screens/delete-dialog.tsx';
import { FirstStart } from './screens/first-start.tsx';
import { GuideDialog } from './screens/guide-dialog.tsx';
import { HistoryScreen } from './screens/history-screen.tsx';
import { JobsScreen } from './screens/jobs-screen.tsx';
import { KeysSheet } from './screens/keys-sheet.tsx';
import { NewTabDialog } from './screens/new-tab-dialog.tsx';
import { OutputScreen } from './screens/output-screen.tsx';
import { PanelView } from './screens/panel-view.tsx';
import { ProductionScreen } from './screens/production-screen.tsx';
import { RecentJobsDialog } from './screens/recent-jobs.tsx';
import { ReportsScreen } from './screens/reports-screen.tsx';
import { ReprintScreen } from './screens/reprint-screen.tsx';
import { RollsScreen } from './screens/rolls-screen.tsx';
import { SettingsScreen } from './screens/settings-screen.tsx';
import { SharedRollsScreen } from './screens/shared-rolls-screen.tsx';
import { SheetsScreen } from './screens/sheets-screen.tsx';
import { WaitingArtwork } from './screens/waiting-artwork.tsx';
import { WeekScreen } from './screens/week-screen.tsx';
import { NextStepButton } from './start/next-step.tsx';
import {
  isCleaningOpen,
  isGuideOpen,
  isHelpOpen,
  isKeysSheetOpen,
  isNewTabOpen,
  isRecentOpen,
  openHelp,
  openNewTab,
  viewedPanelId,
} from './state/dialogs.ts';
import { followNoticesOf } from './state/notices.ts';
import {
  isOvertaken,
  job,
  leaveJob,
  openJob,
  openSavedJob,
  saveAsCopy,
  saveNow,
  saveState,
} from './state/open-job.ts';
import { addressFromRoute, type Route, route, showScreen } from './state/route.ts';
import { isFirstStart, isFirstStartOver } from './state/shop.ts';

export function App() {
  const here = route.value;
  const jobId = 'jobId' in here ? here.jobId : undefined;
  useEffect(() => {
    followNoticesOf(jobId);
    if (jobId === undefined) void leaveJob();
    else {
      // A window opened with a job needs no start screen.
      isFirstStartOver.value = true;
      void openJob(jobId);
    }
  }, [jobId]);

  return (
    <div class="app">
      <a class="skip-link" href="#screen">
        Skip to the screen
      </a>
      <Header here={here} />
      <ArtworkPassword />
      <FirstStepsStrip />
      {job.value && jobId !== undefined && <WaitingArtwork job={job.value} />}
      <main id="screen" class="screen" tabIndex={-1}>
        <Screen here={here} />
      </main>
      {isKeysSheetOpen.value && <KeysSheet />}
      {isRecentOpen.value && <RecentJobsDialog />}
      {isHelpOpen.value && <HelpDialog />}
      <WhatIsNew />
      <StockQuestionDialog />
      {isNewTabOpen.value && <NewTabDialog />}
      {isCleaningOpen.value && <CleanVaultDialog />}
      {job.value && viewedPanelId.value !== undefined && <PanelView job={job.value} />}
      {job.value && isGuideOpen.value && <GuideDialog job={job.value} />}
      <Notices />
    </div>
  );
}

function Screen({ here }: { readonly here: Route }) {
  if (here.screen === 'jobs') return isFirstStart.value ? <FirstStart /> : <JobsScreen />;
  if (here.screen === 'shop') return <SettingsScreen />;
  if (here.screen === 'first-steps') return <FirstStepsPage />;
  if (here.screen === 'about') return <AboutScreen />;
  if (here.screen === 'glossary') return <GlossaryScreen term={here.term} />;
  if (here.screen === 'rolls') return <RollsScreen roll={here.roll} />;
  if (here.screen === 'week') return <WeekScreen />;
  if (here.screen === 'reports') return <ReportsScreen />;
  if (here.screen === 'shared-rolls')
    return <SharedRollsScreen jobIds={here.jobIds} nesting={here.nesting} />;
  if (job.value?.id !== here.jobId) {
    return (
      <div class="waiting">
        <h1>Opening the job…</h1>
      </div>
    );
  }
  switch (here.screen) {
    case 'bench':
      return <BenchScreen key={here.jobId} job={job.value} />;
    case 'production':
      return <ProductionScreen key={here.jobId} job={job.value} />;
    case 'sheets':
      return <SheetsScreen key={here.jobId} job={job.value} />;
    case 'output':
      return <OutputScreen key={here.jobId} job={job.value} />;
    case 'reprint':
      return <ReprintScreen key={here.jobId} job={job.value} output={here.output} />;
    case 'compare':
      return <CompareScreen key={here.jobId} job={job.value} />;
    case 'history':
      return <HistoryScreen key={here.jobId} job={job.value} />;
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

/** Options for an edit that could not be saved. */
function NotSaved() {
  if (!isOvertaken.value) return <Button onClick={saveNow}>Save again</Button>;
  const keepBoth = async () => {
    const jobId = await saveAsCopy();
    if (jobId !== undefined) showScreen({ screen: 'bench', jobId });
  };
  return (
    <>
      <Button onClick={keepBoth} title="Saves this state as a job of its own">
        Keep both
      </Button>
      <Button onClick={openSavedJob} title="What was not saved here goes">
        Open the saved job
      </Button>
    </>
  );
}

const SHOP_SCREENS = [
  ['week', 'The week'],
  ['rolls', 'Rolls'],
  ['reports', 'Reports'],
  ['shop', 'Shop'],
] as const;

function Header({ here }: { readonly here: Route }) {
  const jobId = 'jobId' in here ? here.jobId : undefined;
  // The job in the address may still be loading, and the previous one not yet closed.
  const current = job.value?.id === jobId ? job.value : undefined;
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
          <Button onClick={() => showScreen({ screen: 'jobs' })} title="Close this job and go to all jobs">
            Close
          </Button>
          <div class="header-job" title={current && `${current.number} ${current.name}, ${current.customer}`}>
            <strong>{current?.number}</strong> <span>{current?.name}</span>{' '}
            <span class="quiet">{current?.customer}</span>
          </div>
          <span class="header-save" role="status">
            {current && SAVE_WORDS[saveState.value]}
          </span>
          {current && saveState.value === 'failed' && <NotSaved />}
          {current && <JobHolderNote />}
        </>
      )}
      {current && <NextStepButton />}
      <span class="header-gap" />
      <nav class="header-screens" aria-label="Screens of the shop">
        {SHOP_SCREENS.map(([screen, name]) => (
          <a
            key={screen}
            href={addressFromRoute({ screen })}
            {...(here.screen === screen && { 'aria-current': 'page' })}
          >
            {name}
          </a>
        ))}
      </nav>
      {host === 'browser' && (
        <Button onClick={openNewTab} title="Work in one more tab of the browser">
          New tab
        </Button>
      )}
      <Button onClick={openHelp} title="Help for this screen (F1)">
        Help
      </Button>
    </header>
  );
}
