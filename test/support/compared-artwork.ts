/** A small artwork of two sides, drawn by a few operators, and the comparison of two such, without any renderer. */
import { deflateSync } from 'node:zlib';
import { PDFDocument, PDFName } from 'pdf-lib';
import type { ComparisonTools } from '../../core/compare/job-comparison.ts';
import { artworksCompared } from '../../core/compare/job-comparison.ts';
import type { Job } from '../../core/job/schema.ts';
import type { ArtworkComparison, ComparedPanel } from '../../core/output/artwork-comparison.ts';
import { pdfCodecs } from '../../main/files/pdf-source.ts';
import { unpackedInPassing } from '../../main/files/unpacked.ts';
import { artworkFromBytes } from './artwork-bytes.ts';
import { smallJob } from './small-job.ts';

const MM = 72 / 25.4;
/** Pixels of the picture on each page: gray, 40 wide and 20 high. */
export const PICTURE = { width: 40, height: 20 } as const;

export interface DrawnPage {
  /** What is drawn over the ground and the picture, in points; the page is 320 × 140 mm. */
  readonly content?: string;
  readonly samples?: Uint8Array;
  readonly ground?: string;
  readonly widthMm?: number;
}

/** Each page with a ground, and a picture in its left half. */
export async function drawnArtwork(pages: readonly DrawnPage[]): Promise<Uint8Array> {
  const document = await PDFDocument.create({ updateMetadata: false });
  const { context } = document;
  for (const { content = '', samples = usualSamples(), ground = '0.2 0.1 0.4 0 k', widthMm = 320 } of pages) {
    const page = document.addPage([widthMm * MM, 140 * MM]);
    const picture = context.stream(deflateSync(samples), {
      Type: 'XObject',
      Subtype: 'Image',
      Width: PICTURE.width,
      Height: PICTURE.height,
      ColorSpace: 'DeviceGray',
      BitsPerComponent: 8,
      Filter: 'FlateDecode',
    });
    const font = context.obj({ Type: 'Font', Subtype: 'Type1', BaseFont: 'Helvetica' });
    page.node.set(
      PDFName.of('Resources'),
      context.obj({ XObject: { Photo: context.register(picture) }, Font: { F: context.register(font) } }),
    );
    const text = `${ground} 0 0 ${widthMm * MM} ${140 * MM} re f q 200 0 0 100 60 80 cm /Photo Do Q ${content}`;
    page.node.set(PDFName.of('Contents'), context.register(context.flateStream(text)));
  }
  return await document.save();
}

export const usualSamples = (): Uint8Array =>
  Uint8Array.from({ length: PICTURE.width * PICTURE.height }, (_, i) => (i * 37) % 251);

/** Two sides, of two panels each. */
export const twoSides = (): Job => {
  const job = smallJob();
  const [left] = job.sides;
  const right = { ...left!, id: 'right', code: 'RH', name: 'Right side', page: 2, front: 'left' as const };
  const renamed = structuredClone(right);
  return { ...job, sides: [left!, { ...renamed, layout: layoutRenamed(renamed.layout) }] };
};

const layoutRenamed = (layout: Job['sides'][number]['layout']): Job['sides'][number]['layout'] =>
  layout.kind === 'panel'
    ? { ...layout, id: `${layout.id}-rh` }
    : {
        ...layout,
        joints: layout.joints.map((joint) => ({ ...joint, id: `${joint.id}-rh` })),
        parts: layout.parts.map(layoutRenamed),
      };

export async function compared(
  before: Uint8Array,
  after: Uint8Array,
  {
    job = smallJob(),
    draw = async () => undefined,
  }: { readonly job?: Job; readonly draw?: ComparisonTools['draw'] } = {},
): Promise<ArtworkComparison> {
  const reference = (letter: string) => ({
    fileName: `${letter}.pdf`,
    sha256: letter.repeat(64),
    sizeBytes: 1,
    box: 'crop' as const,
  });
  return await artworksCompared(
    {
      job,
      artworks: [
        { reference: reference('a'), artwork: await opened(before) },
        { reference: reference('b'), artwork: await opened(after) },
      ],
    },
    {
      samples: {
        codecs: { inflate: unpackedInPassing, decodeJpeg2000: () => Promise.reject(new Error('none')) },
        areEqual: (a, b) => Buffer.compare(a, b) === 0,
        pause: () => undefined,
      },
      pause: () => undefined,
      onPanel: () => undefined,
      draw,
    },
  );
}

export const panelNamed = ({ sides }: ArtworkComparison, label: string): ComparedPanel =>
  sides.flatMap(({ panels }) => panels).find((panel) => panel.label === label)!;

export const verdicts = ({ sides }: ArtworkComparison): Record<string, string> =>
  Object.fromEntries(
    sides.flatMap(({ panels }) =>
      panels.map(({ label, verdict, proof }) => [label, proof ? `${verdict}, ${proof}` : verdict]),
    ),
  );

async function opened(bytes: Uint8Array) {
  const artwork = await artworkFromBytes(bytes, { codecs: pdfCodecs });
  if (!artwork.ok) throw new Error(artwork.problem.message);
  return artwork.value;
}
