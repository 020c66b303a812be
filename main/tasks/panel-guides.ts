/** Panel guides of a job as files, from its layouts alone. */
import { artworkLimits } from '../../core/checks/findings/artwork-checks.ts';
import { ppiAsked, viewingDistance } from '../../core/checks/viewing-distance.ts';
import { guidePage, guideScale, isGuideOnPage } from '../../core/guide/guide-page.ts';
import { guidePdf } from '../../core/guide/guide-pdf.ts';
import { guideSvg } from '../../core/guide/guide-svg.ts';
import { type PanelGuide, panelGuide } from '../../core/guide/panel-guide.ts';
import { jobToJson } from '../../core/job/job-json.ts';
import type { Job } from '../../core/job/schema.ts';
import { jobLayout, type SideLayout } from '../../core/layout/side-layout.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import { MAX_PAGE_MM } from '../../core/measure/page-limits.ts';
import { firstOf } from '../../core/measure/present.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { fileNameStem } from '../../core/output/file-name.ts';
import { pauseBetweenTurns } from '../files/called-off.ts';
import { PROGRAM_VERSION } from '../files/program.ts';
import { sha256Hex } from '../files/sha256.ts';
import { layoutRevision } from './layout-revision.ts';
import { glyphRemarks, sheetFonts } from './output-sheets.ts';
import type { TaskTools } from './task-tools.ts';

export interface GuideRequest {
  readonly job: Job;
  /** Finished size ÷ drawn size; absent: that of the artwork, else the largest at which every side fits a page. */
  readonly scale?: number;
  readonly isFilePerSide: boolean;
  /** Whether each side is drawn as SVG, too. */
  readonly hasSvg: boolean;
}

export interface GuideFiles {
  readonly scale: number;
  readonly files: readonly { readonly name: string; readonly bytes: Uint8Array }[];
  readonly remarks: readonly string[];
}

export async function panelGuides(
  { job, scale: asked, isFilePerSide, hasSvg }: GuideRequest,
  { signal, report }: TaskTools,
): Promise<Result<GuideFiles>> {
  const layouts = jobLayout(job);
  if (layouts.length === 0) {
    return resultProblem({
      code: 'guide-without-sides',
      message: `Job ${job.number} has no sides yet, so there is nothing to guide by.`,
      remedy: 'Enter the sides of the vehicle first.',
    });
  }
  const sides = layouts.map(({ side, outline }) => ({ outline, bleed: side.bleed }));
  const own = job.artwork && sides.every((side) => isGuideOnPage(side, job.scale)) ? job.scale : undefined;
  const scale = asked ?? own ?? guideScale(sides);
  const tooLarge = layouts.find(({ side, outline }) => !isGuideOnPage({ outline, bleed: side.bleed }, scale));
  if (tooLarge) return resultProblem(beyondPage(job, tooLarge, scale, guideScale(sides)));
  const missing = new Set<string>();
  const fonts = sheetFonts((character) => missing.add(character));
  const revision = layoutRevision({ job, layouts });
  const guides: PanelGuide[] = [];
  const pause = pauseBetweenTurns(signal);
  for (const [index, layout] of layouts.entries()) {
    report({ what: `Drawing the panel guide of ${layout.side.code}`, done: index, total: layouts.length });
    await pause();
    const ppi = ppiAsked(viewingDistance(layout.side), artworkLimits(job));
    guides.push(panelGuide(job, layout, { fonts, scale, revision, ppi }));
  }
  const stem = fileNameStem(job.number);
  const sets = isFilePerSide
    ? guides.map((guide) => ({ name: `${stem}_${guide.sideCode}_guide`, guides: [guide] }))
    : [{ name: `${stem}_guide`, guides }];
  const files: { name: string; bytes: Uint8Array }[] = [];
  for (const set of sets) {
    await pause();
    files.push({ name: `${set.name}.pdf`, bytes: await guidePdf(set.guides, guideFacts(job, set, scale)) });
  }
  if (hasSvg) {
    const encoder = new TextEncoder();
    for (const guide of guides) {
      files.push({ name: `${stem}_${guide.sideCode}_guide.svg`, bytes: encoder.encode(guideSvg(guide)) });
    }
  }
  return resultOk({ scale, files, remarks: glyphRemarks(missing) });
}

const guideFacts = (
  job: Job,
  { name, guides }: { readonly name: string; readonly guides: readonly PanelGuide[] },
  scale: number,
) => ({
  title: guides.length === 1 ? firstOf(guides).title : `Panel guide · ${job.number} · 1:${scale}`,
  author: job.shop?.name ?? job.preparedBy,
  subject: job.name,
  date: job.date,
  sha256: sha256Hex(new TextEncoder().encode([PROGRAM_VERSION, name, scale, jobToJson(job)].join('\n'))),
});

function beyondPage(job: Job, { side, outline }: SideLayout, scale: number, fitting: number) {
  const { widthMm, heightMm } = guidePage(outline, side.bleed, scale);
  const length = (mm: number) => lengthText(mm, job.displayUnit);
  return {
    code: 'guide-too-large',
    message: `At 1:${scale} the guide of ${side.code} would be ${length(widthMm)} × ${length(heightMm)}, and a PDF page holds ${length(MAX_PAGE_MM)}.`,
    remedy: `Ask for 1:${fitting} or smaller.`,
  };
}
