/** What the screens know of an artwork. */
import { pageRemarks } from '../../core/checks/page-remarks.ts';
import type { ArtworkFacts, ArtworkPageFacts } from '../../core/contract/verbs-artwork.ts';
import { storedFromRect } from '../../core/job/stored-rect.ts';
import { type ArtworkPage, PAGE_BOXES } from '../../core/pdf/document/artwork.ts';
import type { OpenedArtwork } from '../artwork/artwork-file.ts';

export function artworkFacts(opened: OpenedArtwork): ArtworkFacts {
  return {
    reference: opened.reference,
    ...(opened.scan && { scan: opened.scan }),
    pages: opened.pages.map(pageFacts),
    remarks: pageRemarks(opened),
    problems: [...opened.pageProblems].map(([page, { code, message, remedy }]) => ({
      page,
      code,
      message,
      remedy,
    })),
  };
}

export function pageFacts(page: ArtworkPage): ArtworkPageFacts {
  return {
    number: page.number,
    extent: storedFromRect(page.visible),
    boxes: Object.fromEntries(
      PAGE_BOXES.map((box) => [box, storedFromRect(page.boxes[box])]),
    ) as ArtworkPageFacts['boxes'],
    rotate: page.rotation,
    userUnit: page.userUnit,
  };
}
