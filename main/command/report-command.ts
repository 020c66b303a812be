import { CHECK_REPORT, checkReportSheets } from '../../core/checks/report/check-report.ts';
import { fontLibraryFromFiles } from '../../core/drawing/font-library.ts';
import { jobToJson } from '../../core/job/job-json.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { sheetsPdf } from '../../core/sheets/sheets-pdf.ts';
import { artworkScanned } from '../artwork/artwork-file.ts';
import { sidePictures } from '../artwork/side-pictures.ts';
import { writeFileAtomically } from '../files/atomic-write.ts';
import { fileProblem } from '../files/file-problem.ts';
import { sheetFontFiles } from '../files/fonts.ts';
import { PROGRAM_VERSION } from '../files/program.ts';
import { sha256Hex } from '../files/sha256.ts';
import { glyphRemarks, pictureRemarks } from '../tasks/job-output.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import { type JobOptions, jobOpened } from './job-commands.ts';

/** Writes what the checks say about a job, with a picture of each side, to one PDF. */
export const jobReport =
  (path: string, options: JobOptions & { readonly to: string }) =>
  async (context: CommandContext): Promise<Result<CommandOutcome>> =>
    await context.withArchive(async (archive) => {
      const opened = await jobOpened(path, options, archive);
      if (!opened.ok) return opened;
      const { job, state } = opened.value;
      const artwork = await artworkScanned(opened.value.artwork);
      const missing = new Set<string>();
      const fonts = fontLibraryFromFiles(sheetFontFiles(), (character) => missing.add(character));
      try {
        const pictures = await sidePictures(job, artwork, context.signal);
        const sheets = checkReportSheets(job, state.layouts, state.findings, artwork.scan, {
          fonts,
          artworkPicture: (side) => pictures.get(side.id),
        });
        // The report says what the program found in these bytes under this job: another of the three, another report.
        const made = [PROGRAM_VERSION, artwork.reference.sha256, jobToJson(job)].join('\n');
        const sha256 = sha256Hex(new TextEncoder().encode(made));
        const bytes = await sheetsPdf(job, sheets, { documentType: CHECK_REPORT, sha256 }, fonts);
        await writeFileAtomically(options.to, bytes);
        const undrawn = job.sides.filter(({ id }) => !pictures.has(id)).map(({ code }) => code);
        const remarks = [...pictureRemarks(undrawn), ...glyphRemarks(missing)];
        context.terminal.result(
          { file: options.to, pages: sheets.length, findings: state.findings, remarks },
          [
            ...remarks,
            `Written: ${options.to}, ${sheets.length} ${sheets.length === 1 ? 'page' : 'pages'}, ${state.findings.length} findings.`,
          ],
        );
        return resultOk('done');
      } catch (error) {
        const problem = fileProblem(error, options.to);
        if (problem) return resultProblem(problem);
        throw error;
      }
    });
