/** One file through everything that reads artwork: it gives panels or says what is wrong. Anything else is a bug. */

import type { ContentPage } from '../../core/pdf/content/content-page.ts';
import { contentPageFrom } from '../../core/pdf/content/content-page.ts';
import { pageImages } from '../../core/pdf/content/page-images.ts';
import { pageInks } from '../../core/pdf/content/page-inks.ts';
import { pageLettering } from '../../core/pdf/content/page-lettering.ts';
import { type Artwork, type ArtworkPage, artworkPages } from '../../core/pdf/document/artwork.ts';
import { isPdfProblem } from '../../core/pdf/file/pdf-problem.ts';
import { flateCodec } from '../../main/cut/flate.ts';
import { pdfCodecs } from '../../main/files/pdf-source.ts';
import { sha256Bytes, sha256Hex } from '../../main/files/sha256.ts';
import { artworkFromBytes } from '../support/artwork-bytes.ts';
import { panelPdf } from '../support/panel-pdf.ts';

export interface Outcome {
  readonly panels: number;
  /** Codes of problems, of the file or of single pages and checks. */
  readonly problems: readonly string[];
}

/** A hostile file may claim any number of pages; only the first ones are read. */
const PAGES_CUT = 2;
const BORDER_MM = 7;

/** @throws whatever is not an expected problem: each is a bug */
export async function outcomeOf(bytes: Uint8Array): Promise<Outcome> {
  const opened = await artworkFromBytes(bytes, { codecs: pdfCodecs, password: '' });
  if (!opened.ok) return { panels: 0, problems: [sound(opened.problem)] };
  const artwork = opened.value;
  const problems: string[] = [];
  let panels = 0;
  for (const box of ['crop', 'media'] as const) {
    for (const page of artworkPages(artwork, box)) if (!page.ok) problems.push(sound(page.problem));
  }
  const pages = artworkPages(artwork).flatMap((page) => (page.ok ? [page.value] : []));
  for (const page of pages.slice(0, PAGES_CUT)) {
    const cut = await panelOf(artwork, sha256Hex(bytes), page);
    if (typeof cut === 'string') problems.push(cut);
    else panels++;
    problems.push(...(await checksOf(artwork, page)));
  }
  return { panels, problems };
}

/** A panel from the middle of the page, or the code of a problem. The panel must be readable again. */
async function panelOf(artwork: Artwork, artworkSha256: string, page: ArtworkPage): Promise<string | true> {
  const { x, y, width, height } = page.visible;
  const window = { x: x + width / 5, y: y + height / 7, width: width / 2, height: height / 3 };
  const film = { x: BORDER_MM, y: BORDER_MM, width: window.width, height: window.height };
  const panel = await panelPdf(
    artwork,
    {
      page: page.number,
      box: 'crop',
      window,
      scale: 1,
      printed: film,
      net: film,
      filmWidthMm: window.width + 2 * BORDER_MM,
      filmHeightMm: window.height + 2 * BORDER_MM,
      size: { kind: 'true-size' },
      info: { title: 'fuzz', created: '2026-11-25', program: 'Panelwright' },
    },
    { sha256: sha256Bytes, artworkSha256, flate: flateCodec() },
  );
  if (!panel.ok) return sound(panel.problem);
  const again = await artworkFromBytes(panel.value.bytes, { codecs: pdfCodecs });
  if (!again.ok) throw new Error(`the panel cannot be read: ${again.problem.code}: ${again.problem.message}`);
  return true;
}

async function checksOf(artwork: Artwork, page: ArtworkPage): Promise<string[]> {
  const source = artwork.pages[page.number - 1]!;
  const problems: string[] = [];
  const checks: readonly ((content: ContentPage) => Promise<unknown>)[] = [
    (content) => pageImages(content, 10),
    pageInks,
    pageLettering,
  ];
  for (const check of checks) {
    try {
      await check(await contentPageFrom(artwork.file, source.page));
    } catch (error) {
      if (!isPdfProblem(error)) throw error;
      problems.push(sound(error));
    }
  }
  return problems;
}

/** A problem is for people: a code, one sentence of what is wrong, one of what to do. */
function sound(problem: { code: string; message: string; remedy: string }): string {
  const isSound = /^[a-z][a-z0-9-]+$/.test(problem.code) && problem.message !== '' && problem.remedy !== '';
  const isReadable = !/undefined|\[object|NaN|\n/.test(`${problem.message}${problem.remedy}`);
  if (!isSound || !isReadable) throw new Error(`not a sentence for people: ${JSON.stringify(problem)}`);
  return problem.code;
}
