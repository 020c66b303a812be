/** The strips of an output, where its job is printed strip by strip. */
import type { JobKnown } from '../../core/checks/findings/job-findings.ts';
import type { OutputFile } from '../../core/contract/output-summary.ts';
import { itemAt } from '../../core/measure/present.ts';
import { type Problem, type Result, resultOk } from '../../core/measure/result.ts';
import type { ManifestPanel, ManifestStrip } from '../../core/output/manifest.ts';
import { filmProductions, jobProduction } from '../../core/production/job-production.ts';
import { isStripJob, jobStrips } from '../../core/production/job-strips.ts';
import { writeStripFiles } from '../cut/strip-files.ts';
import { PROGRAM_VERSION } from '../files/program.ts';
import type { StagedFolder } from '../files/staged-folder.ts';
import type { OutputFill } from './output-fill.ts';
import type { OutputRequest } from './output-request.ts';
import type { TaskTools } from './task-tools.ts';

export interface OutputStrips {
  /** Undefined where the output prints panel by panel. */
  readonly strips: readonly ManifestStrip[] | undefined;
  readonly files: readonly OutputFile[];
  readonly remarks: readonly string[];
}

/** The print files of a job that is printed strip by strip. A selection of panels is written panel by panel. */
export async function writeOutputStrips(
  { state: { job, layouts }, panelIds }: Pick<OutputRequest, 'state' | 'panelIds'>,
  { panels, files }: { readonly panels: readonly ManifestPanel[]; readonly files: readonly OutputFile[] },
  fill: OutputFill,
  staged: StagedFolder,
  { signal, report }: TaskTools,
): Promise<Result<OutputStrips, Problem>> {
  const none: OutputStrips = { strips: undefined, files: [], remarks: [] };
  if (!isStripJob(job)) return resultOk(none);
  if (panelIds) {
    const remark = 'Only some panels were asked for, so each is a file of its own and there are no strips.';
    return resultOk({ ...none, remarks: [remark] });
  }
  const written = await writeStripFiles(
    job,
    filmProductions(jobProduction(job, layouts)).flatMap((production) => jobStrips(job, production)),
    {
      written: panels.map((panel, i) => ({ panel, sha256: itemAt(files, i).sha256 })),
      fill: fill.items,
    },
    { program: `Panelwright ${PROGRAM_VERSION}`, staged },
    { signal, report: (done, total) => report({ what: 'Nesting panels on strips', done, total }) },
  );
  if (!written.ok) return written;
  const placed = new Set(written.value.flatMap(({ strip }) => strip.panels.map(({ panelId }) => panelId)));
  const unplaced = panels.filter(({ panelId }) => !placed.has(panelId)).map(({ label }) => label);
  return resultOk({
    strips: written.value.map(({ strip }) => strip),
    files: written.value.map(({ strip: { file }, sha256, sizeBytes }) => ({
      name: file,
      kind: 'strip',
      sha256,
      sizeBytes,
    })),
    remarks:
      unplaced.length === 0
        ? []
        : [`On no strip, because the nesting has no place for them: ${unplaced.join(', ')}.`],
  });
}

/** The job as printed by this output: with a selection of panels, the papers have no strips either. */
export function stateAsPrinted<S extends JobKnown>(
  state: S,
  strips: readonly ManifestStrip[] | undefined,
): S {
  const { job } = state;
  if (strips || !isStripJob(job)) return state;
  return { ...state, job: { ...job, output: { ...job.output, files: 'panels' } } };
}
