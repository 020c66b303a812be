/** The demo: two jobs of the Alder County Library. Their artwork is drawn by test/demo-art. */
import { readFile } from 'node:fs/promises';
import { jobFromJson } from '../../core/job/job-json.ts';
import type { Job } from '../../core/job/schema.ts';
import type { PageBox } from '../../core/measure/page-box.ts';

export interface DemoJob {
  readonly jobFile: URL;
  readonly artwork: URL;
  readonly artworkName: string;
  /** The demo's sides are measured from the corner of the TrimBox. */
  readonly box: PageBox;
  /** Of the side with this code. */
  readonly photo?: { readonly sideCode: string; readonly file: URL; readonly points: URL };
}

const asset = (name: string) => new URL(`../../assets/demo/${name}`, import.meta.url);

export const DEMO_JOBS = {
  bookmobile: {
    jobFile: asset('bookmobile.job.json'),
    artwork: asset('bookmobile.pdf'),
    artworkName: 'bookmobile.pdf',
    box: 'trim',
    photo: {
      sideCode: 'DS',
      file: asset('bookmobile-driver-side.jpg'),
      points: asset('bookmobile-driver-side.points.json'),
    },
  },
  trailer: {
    jobFile: asset('outreach-trailer.job.json'),
    artwork: asset('outreach-trailer.pdf'),
    artworkName: 'outreach-trailer.pdf',
    box: 'trim',
  },
} as const satisfies Record<string, DemoJob>;

export type DemoName = keyof typeof DEMO_JOBS;

/** Throws where the shipped file is not a job: that is a bug. */
export async function readDemoJob(demo: DemoJob): Promise<Job> {
  const job = jobFromJson(await readFile(demo.jobFile, 'utf8'));
  if (!job.ok) throw new Error(`${demo.jobFile.pathname}: ${job.problem.message}`);
  return job.value;
}
