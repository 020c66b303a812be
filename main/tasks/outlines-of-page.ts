/** The paths of an artwork's page, to be traced. */
import { colorLabel } from '../../core/checks/scan/color-values.ts';
import { documentScan } from '../../core/checks/scan/document-scan.ts';
import { type ArtworkOutlines, MOST_OUTLINES } from '../../core/contract/verbs-artwork.ts';
import { type Problem, type Result, resultOk } from '../../core/measure/result.ts';
import { contentPageFrom } from '../../core/pdf/content/content-page.ts';
import { type PageOutline, pageOutlines } from '../../core/pdf/content/page-outlines.ts';
import { pageWithSpace, visibleBox } from '../../core/pdf/document/artwork.ts';
import { withPdfProblems } from '../../core/pdf/page/artwork-problem.ts';
import type { OpenedArtwork } from '../artwork/artwork-file.ts';
import { pauseBetweenTurns } from '../files/called-off.ts';
import type { TaskTools } from './task-tools.ts';

/** Problems: those of the page and its content. */
export async function outlinesOfPage(
  { artwork, reference }: OpenedArtwork,
  { page, layer }: { readonly page: number; readonly layer?: string | undefined },
  { signal, report }: TaskTools,
): Promise<Result<ArtworkOutlines, Problem>> {
  report({ what: 'Looking for paths', done: 0, total: 1 });
  const found = pageWithSpace(artwork, page, reference.box);
  if (!found.ok) return found;
  const { source, geometry, space } = found.value;
  const looked = await withPdfProblems(async () => {
    const content = await contentPageFrom(artwork.file, source.page);
    const box = visibleBox(geometry, reference.box);
    const outlines = await pageOutlines({ ...content, space, box, pause: pauseBetweenTurns(signal) });
    return resultOk({ outlines, layers: (await documentScan(artwork.file)).layers });
  });
  if (!looked.ok) return looked;
  const { outlines, layers } = looked.value;
  const wanted = outlines.filter((each) =>
    layer === undefined ? each.isVisible : each.layers.includes(layer),
  );
  const byName = new Map(layers.map(({ name, isOn }) => [name, isOn]));
  return resultOk({
    layers: [...byName].flatMap(([name, isOn]) => {
      const count = outlines.filter((each) => each.layers.includes(name)).length;
      return count > 0 ? [{ name, isOn, outlines: count }] : [];
    }),
    pages: artwork.pages.length,
    count: wanted.length,
    outlines: (wanted.length > MOST_OUTLINES ? [] : wanted).map(({ points, isClosed, color, widthMm }) => ({
      points: points.flatMap(({ x, y }) => [x, y]),
      isClosed,
      color: colorName(color),
      widthMm,
    })),
  });
}

/** Light in hexadecimal, as screens state it; ink by its plates. */
function colorName({ space, values, pattern }: PageOutline['color']): string {
  if (pattern) return 'Pattern';
  if (space.family === 'Lab') return `Lab ${values.map(Math.round).join(' ')}`;
  const isLight = LIGHT.has(space.family) || (space.family === 'ICCBased' && space.components !== 4);
  if (!isLight) return colorLabel({ space, values }) || 'no ink';
  const byte = (value: number) => Math.round(Math.min(1, Math.max(0, value)) * 255);
  const [red = 0, green = red, blue = red] = values;
  return `#${[red, green, blue].map((value) => byte(value).toString(16).padStart(2, '0')).join('')}`;
}

const LIGHT: ReadonlySet<string> = new Set(['DeviceGray', 'CalGray', 'DeviceRGB', 'CalRGB']);
