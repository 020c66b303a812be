/** Facts about the artwork on a customer proof: its inks by name, and its lettering for the customer to check. */
import type { Job } from '../../job/schema.ts';
import type { SideLayout } from '../../layout/side-layout.ts';
import { letteringMeaning } from '../../lettering/lettering.ts';
import type { ProofFacts, ReadBack } from '../../sheets/customer-proof.ts';
import { pageChecks } from '../check-context.ts';
import { artworkLimits } from '../findings/artwork-checks.ts';
import { usedSpots } from '../findings/spot-findings.ts';
import type { ArtworkScan } from '../scan/schema.ts';
import { sideLettering } from '../side-lettering.ts';

export function proofFacts(job: Job, layouts: readonly SideLayout[], scan: ArtworkScan): ProofFacts {
  const checks = pageChecks(job, layouts, scan, artworkLimits(job));
  return {
    spots: usedSpots(checks).map(({ name }) => name),
    readBack: layouts.flatMap(({ side }): ReadBack[] => {
      const page = scan.pages.find(({ number }) => number === side.page);
      if (!page) return [];
      const lettering = sideLettering(job, side, page);
      const down = [...lettering].sort((a, b) => a.rect.y - b.rect.y || a.rect.x - b.rect.x);
      const lines = [...new Set(down.flatMap(({ text }) => text?.trim() || []))];
      const isFirst = (text: string) => /\p{N}/u.test(text) || letteringMeaning({ text }) !== undefined;
      return [
        {
          sideId: side.id,
          figures: lines.filter(isFirst),
          words: lines.filter((text) => !isFirst(text)),
          unread: lettering.filter(({ text }) => text === undefined).length,
          isLookedFor: page.shapes !== undefined,
        },
      ];
    }),
  };
}
