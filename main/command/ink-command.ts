import { jobLayout } from '../../core/layout/side-layout.ts';
import { decimalText } from '../../core/measure/length-text.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import { COVERAGE_NOTE, type PanelCoverage } from '../../core/production/job-coverage.ts';
import { pageExtents } from '../artwork/artwork-file.ts';
import { coverageTried, jobCoverage } from '../ink/job-coverage.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import { type JobOptions, jobOpened } from './job-commands.ts';

/** Says how much ink the artwork asks for, panel by panel. */
export const inkCoverage =
  (path: string, options: JobOptions) =>
  async ({ terminal, signal, withArchive }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async (archive) => {
      const opened = await jobOpened(path, options, archive);
      if (!opened.ok) return opened;
      const { job, artwork } = opened.value;
      const layouts = jobLayout(job, pageExtents(artwork.pages));
      const report = terminal.progress.bind(terminal);
      const measured = await coverageTried(() => jobCoverage(job, layouts, artwork, { signal, report }));
      if (!measured.ok) return measured;
      const { panels, unmeasured } = measured.value;
      terminal.result(measured.value, [
        ...panels.map(panelLine),
        ...unmeasured.map(({ sideCode, reason }) => `${sideCode}: not computed, because ${reason}.`),
        COVERAGE_NOTE,
      ]);
      return resultOk('done');
    });

const panelLine = ({ label, meanPercent, worstPercent, windowMm2 }: PanelCoverage): string =>
  `${label}: mean ${decimalText(meanPercent, 0)} %, worst ${decimalText(worstPercent, 0)} % over ${decimalText(windowMm2, 0)} mm²`;
