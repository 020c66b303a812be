/** Pages can share a strip only where they blend alike, because a page has one group and one list of output intents. */
import { PDFArray, PDFDict, PDFName, type PDFObject, PDFStream } from 'pdf-lib';
import { firstOf } from '../../measure/present.ts';
import type { Problem } from '../../measure/result.ts';
import type { Artwork } from '../../pdf/document/artwork.ts';
import type { StripPanel } from './strip-panel.ts';

export type StripGroupsProblem = Problem<'strip-groups-differ'>;

const PAGE_SETTINGS = [PDFName.of('Group'), PDFName.of('OutputIntents')];

/** The first panel whose page does not blend as the first panel's page does. */
export async function differentGroup(panels: readonly StripPanel[]): Promise<StripPanel | undefined> {
  const texts = await Promise.all(panels.map(({ pdf }) => pageSetting(pdf)));
  return panels.find((_, index) => texts[index] !== texts[0]);
}

/** The settings of a page that a form cannot have, written out with everything they refer to. */
async function pageSetting({ file, pages }: Artwork): Promise<string> {
  const { dict } = firstOf(pages).page;
  const parts: string[] = [];
  const visitGroup = async (object: PDFObject | undefined, depth: number): Promise<void> => {
    const found = await file.resolved(object);
    if (depth > 12) return;
    if (found instanceof PDFStream) {
      await visitGroup(found.dict, depth + 1);
      parts.push(JSON.stringify([...(await file.streamDecoded(found)).bytes]));
    } else if (found instanceof PDFArray) {
      for (const item of found.asArray()) await visitGroup(item, depth + 1);
    } else if (found instanceof PDFDict) {
      const entries = found
        .entries()
        .filter(([key]) => key !== PDFName.Length && key !== PDFName.of('Filter'));
      for (const [key, value] of entries) {
        parts.push(key.toString());
        await visitGroup(value, depth + 1);
      }
    } else if (found) {
      parts.push(found.toString());
    }
  };
  for (const key of PAGE_SETTINGS) {
    parts.push(key.toString());
    await visitGroup(dict.get(key), 0);
  }
  return parts.join(' ');
}

export const groupsDiffer = (first: StripPanel, other: StripPanel): StripGroupsProblem => ({
  code: 'strip-groups-differ',
  message: `${first.label} and ${other.label} come from artwork pages that blend colors in different ways, so they cannot share a page.`,
  remedy: 'Write one file per panel instead of one per strip.',
});
