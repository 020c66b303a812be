import { decimalText } from '../../core/measure/length-text.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import { COVERAGE_NOTE, type PanelCoverage } from '../../core/production/job-coverage.ts';
import { measureInk } from '../services/measure-ink.ts';
import { type JobFileOptions, openJobWithArtwork } from '../services/open-job-file.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';

/** Says how much ink the artwork asks for, panel by panel. */
export const inkCommand =
  (path: string, options: JobFileOptions) =>
  async ({ terminal, tools, withArchive }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async (parts) => {
      const opened = await openJobWithArtwork(parts, path, options, tools);
      if (!opened.ok) return opened;
      const { job, artwork } = opened.value;
      const measured = await measureInk(parts, job, artwork, tools);
      if (!measured.ok) return measured;
      const { panels, unmeasured } = measured.value;
      terminal.printResult(measured.value, [
        ...panels.map(panelLine),
        ...unmeasured.map(({ sideCode, reason }) => `${sideCode}: not computed, because ${reason}.`),
        COVERAGE_NOTE,
      ]);
      return resultOk('done');
    });

const panelLine = ({ label, meanPercent, worstPercent, windowMm2 }: PanelCoverage): string =>
  `${label}: mean ${decimalText(meanPercent, 0)} %, worst ${decimalText(worstPercent, 0)} % over ${decimalText(windowMm2, 0)} mm²`;
