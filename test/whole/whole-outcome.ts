/**
 * One artwork through the whole of the main job: opened, checked, cut into panels, written, and every panel verified. It
 * gives panels that pass the verification, or a problem that says what is wrong. Anything else is a bug.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Job, Side } from '../../core/job/schema.ts';
import type { ArtworkPage } from '../../core/pdf/document/artwork.ts';
import { openArtwork, scanArtwork } from '../../main/artwork/artwork-file.ts';
import { jobState } from '../../main/job/job-state.ts';
import { stageJobOutput } from '../../main/tasks/job-output.ts';
import { verifyWrittenFiles } from '../../main/verify/output-verification.ts';
import { smallJob } from '../support/small-job.ts';

export interface WholeOutcome {
  /** Panels that were written and passed the verification. */
  readonly panels: number;
  /** `code: message` of what kept the file, or a page of it, from being used. */
  readonly problems: readonly string[];
  /** `code: message` of what the verification found wrong. */
  readonly faults: readonly string[];
}

/** Only the first pages are tested. */
const PAGES = 2;
/** The longer side of a page, finished: a seam then lies within it, and a panel fits its film. */
const FINISHED_MM = 2000;
/** Less than a person would wait, so that a hundred files can be tried. */
const DRAWING_CPU_SECONDS = 5;
const TOOLS = {
  signal: new AbortController().signal,
  report: () => undefined,
  drawingCpuSeconds: DRAWING_CPU_SECONDS,
};

/** @throws whatever is not an expected problem: each is a bug */
export async function wholeOutcome(path: string): Promise<WholeOutcome> {
  const opened = await openArtwork(path, { box: 'crop', password: '' });
  if (!opened.ok) return { panels: 0, problems: [told(opened.problem)], faults: [] };
  const artwork = await scanArtwork(opened.value);
  const problems = [...artwork.pageProblems.values()].map(told);
  const faults: string[] = [];
  let panels = 0;
  for (const page of artwork.pages.slice(0, PAGES)) {
    const home = mkdtempSync(join(tmpdir(), 'panelwright-whole-'));
    try {
      const state = jobState(pageJob(page, artwork.reference), artwork);
      // A page that paints nothing has nothing to verify either.
      const stops = state.blocking.filter(({ code }) => code === 'page-blank');
      if (stops.length > 0) {
        problems.push(...stops.map(told));
        continue;
      }
      // What a person would have to acknowledge is not what is tried here.
      const output = await stageJobOutput(
        { state: { ...state, blocking: [] }, artwork, jobFolder: home, sheets: [], output: { number: 1 } },
        TOOLS,
      );
      if (!output.ok) {
        problems.push(told(output.problem));
        continue;
      }
      const { manifest, staged: folder } = output.value;
      const verification = await verifyWrittenFiles({ manifest, folder, state, artwork }, TOOLS);
      if (!verification.ok)
        throw new Error(`the verification could not be made: ${verification.problem.message}`);
      faults.push(...verification.value.faults.map(({ code, message }) => `${code}: ${message}`));
      if (verification.value.state === 'verified') panels += manifest.panels.length;
    } finally {
      rmSync(home, { recursive: true });
    }
  }
  return { panels, problems, faults };
}

/** A side that is the whole page, cut in two across its longer way. */
function pageJob({ number, widthMm, heightMm }: ArtworkPage, artwork: Job['artwork']): Job {
  const isWide = widthMm >= heightMm;
  const scale = FINISHED_MM / Math.max(widthMm, heightMm);
  const job = smallJob();
  const side: Side = {
    ...job.sides[0]!,
    page: number,
    artworkRect: { xMm: 0, yMm: 0, widthMm, heightMm },
    bleed: { top: 0, right: 0, bottom: 0, left: 0 },
    layout: {
      kind: 'split',
      seams: isWide ? 'vertical' : 'horizontal',
      joints: [{ id: 's1', kind: 'lap', atMm: 0.43 * FINISHED_MM, firstMm: 15, secondMm: 10, top: 'first' }],
      parts: [
        { kind: 'panel', id: 'a' },
        { kind: 'panel', id: 'b' },
      ],
    },
  };
  return { ...job, artwork, scale, sides: [side] };
}

/** A problem is for people: a code, one sentence of what is wrong, one of what to do. */
function told({ code, message, remedy }: { code: string; message: string; remedy: string }): string {
  const isSound = /^[a-z][a-z0-9-]+$/.test(code) && message !== '' && remedy !== '';
  if (!isSound || /undefined|\[object|NaN|\n/.test(`${message}${remedy}`)) {
    throw new Error(`not a sentence for people: ${JSON.stringify({ code, message, remedy })}`);
  }
  return `${code}: ${message}`;
}
