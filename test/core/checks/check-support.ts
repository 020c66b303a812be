import { artworkChecks } from '../../../core/checks/findings/artwork-checks.ts';
import { artworkScan } from '../../../core/checks/scan/artwork-scan.ts';
import type { ArtworkScan, PageScan } from '../../../core/checks/scan/schema.ts';
import type { Finding } from '../../../core/findings/finding.ts';
import type { Job, Side } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { artworkPages } from '../../../core/pdf/document/artwork.ts';
import { pdfCodecs } from '../../../main/files/pdf-source.ts';
import { artworkFromBytes } from '../../support/artwork-bytes.ts';
import { type RawPage, rawPdf } from '../../support/raw-pdf.ts';
import { jobSample, panel, sideSample } from '../job/sample-job.ts';

const PT_PER_MM = 72 / 25.4;

/** Drawn mm: the page, and the side on it. At 1:10 the side is 3000 × 1200 mm. */
export const PAGE = { width: 400, height: 200 };
export const SIDE = { xMm: 50, yMm: 30, widthMm: 300, heightMm: 120 };

/** A page of 400 × 200 mm whose content is written in mm with y down, as drawn space is: `x y w h re f`. */
export function pageInMm(content: string, more: Partial<RawPage> = {}): Uint8Array {
  const k = PT_PER_MM;
  return rawPdf({
    page: `/MediaBox [0 0 ${PAGE.width * k} ${PAGE.height * k}]`,
    ...more,
    content: `${k} 0 0 ${-k} 0 ${PAGE.height * k} cm\n${content}`,
  });
}

/** Fills the page with a flat tint, so that nothing is said about bare film. */
export const GROUND = `0.2 0.1 0.4 0 k 0 0 ${PAGE.width} ${PAGE.height} re f\n`;

/** An image of one color space, as a stream. */
export const imageStream = (
  width: number,
  height: number,
  space: string,
  data: string | Uint8Array,
  more = '',
) => ({
  dict: `/Type /XObject /Subtype /Image /Width ${width} /Height ${height} /BitsPerComponent 8 /ColorSpace ${space} ${more}`,
  data,
});

/** Draws an XObject upright into a rectangle in mm with y down. */
export const drawn = (name: string, x: number, y: number, width: number, height: number): string =>
  `q ${width} 0 0 ${-height} ${x} ${y + height} cm /${name} Do Q\n`;

export async function scanOf(
  pdf: Uint8Array,
  box: 'media' | 'crop' | 'trim' = 'media',
): Promise<ArtworkScan> {
  const artwork = await artworkFromBytes(pdf, { codecs: pdfCodecs });
  if (!artwork.ok) throw new Error(artwork.problem.message);
  return artworkScan(artwork.value, box);
}

export async function pageScanOf(pdf: Uint8Array): Promise<PageScan> {
  const [page] = (await scanOf(pdf)).pages;
  if (page === undefined) throw new Error('the page was not looked through');
  return page;
}

export interface Given {
  readonly side?: Partial<Side>;
  readonly job?: Partial<Job>;
  readonly box?: 'media' | 'crop' | 'trim';
}

export function jobOnPage({ side = {}, job = {}, box = 'media' }: Given = {}): Job {
  const base = jobSample({
    scale: 10,
    sides: [sideSample({ artworkRect: SIDE, layout: panel('p1'), ...side })],
    ...job,
  });
  return { ...base, artwork: { ...base.artwork!, box } };
}

/** What the checks say about a page with the side on it. */
export async function checksOf(pdf: Uint8Array, given: Given = {}): Promise<readonly Finding[]> {
  const artwork = await artworkFromBytes(pdf, { codecs: pdfCodecs });
  if (!artwork.ok) throw new Error(artwork.problem.message);
  const box = given.box ?? 'media';
  const pages = artworkPages(artwork.value, box).flatMap((page) => (page.ok ? [page.value] : []));
  const job = jobOnPage(given);
  const layouts = jobLayout(job, new Map(pages.map((page) => [page.number, page.visible])));
  return artworkChecks(job, layouts, await artworkScan(artwork.value, box));
}

export async function codesOf(pdf: Uint8Array, given?: Given): Promise<string[]> {
  return (await checksOf(pdf, given)).map(({ code }) => code);
}

/** The only finding with this code; the test fails where there is none, or more than one. */
export async function findingOf(pdf: Uint8Array, code: string, given?: Given): Promise<Finding> {
  const findings = await checksOf(pdf, given);
  const found = findings.filter((finding) => finding.code === code);
  if (found.length !== 1) {
    throw new Error(`${found.length} findings ${code} among ${findings.map((one) => one.code).join(', ')}`);
  }
  return found[0]!;
}
