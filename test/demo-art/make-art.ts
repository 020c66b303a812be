/**
 * Draws the demo's two artworks. Run it to write both PDFs anew:
 *
 *     node test/demo-art/make-art.ts
 */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { PDFRef } from 'pdf-lib';
import { ArtDocument } from './art-document.ts';
import { drawLongSide, LEFT_DESIGN, RIGHT_DESIGN } from './bookmobile-art.ts';
import { Canvas, DRAWING_SCALE, PT_PER_FINISHED_MM } from './canvas.ts';
import { drawRear } from './rear-art.ts';
import { BOOKMOBILE, type SceneSide, type SceneUnit, TRAILER } from './scene.ts';
import { drawSlug } from './slug.ts';
import { Stock } from './stock.ts';
import { drawTemplate } from './template-layer.ts';
import { drawTrailerSide, LEFT_MOOD, RIGHT_MOOD } from './trailer-art.ts';

type SideDrawer = (canvas: Canvas, side: SceneSide, stock: Stock) => void;

/** Paper around the bleed, for crop marks and the slug line, in finished mm. */
const PAPER_MM = 260;
/** The page's lower left corner. Drawing programs seldom leave it at 0, and readers must not count on it. */
const PAGE_ORIGIN = { x: -61.25, y: 40.5 } as const;

/** The bookmobile: page 1 its driver side, page 2 its passenger side, page 3 its rear. */
export const demoArtBookmobile = (): Promise<Uint8Array> =>
  artworkBytes(BOOKMOBILE, [
    (canvas, side, stock) => drawLongSide(canvas, side, stock, LEFT_DESIGN),
    (canvas, side, stock) => drawLongSide(canvas, side, stock, RIGHT_DESIGN),
    drawRear,
  ]);

/** The outreach trailer: page 1 its street side, page 2 its curb side. */
export const demoArtTrailer = (): Promise<Uint8Array> =>
  artworkBytes(TRAILER, [
    (canvas, side, stock) => drawTrailerSide(canvas, side, stock, LEFT_MOOD),
    (canvas, side, stock) => drawTrailerSide(canvas, side, stock, RIGHT_MOOD),
  ]);

async function artworkBytes(unit: SceneUnit, drawers: readonly SideDrawer[]): Promise<Uint8Array> {
  const document = new ArtDocument();
  const stock = new Stock(document);
  const template = document.add({ Type: 'OCG', Name: document.text('Vehicle template') });
  const pages = document.context.nextRef();
  const kids = unit.sides.map((side, i) => {
    const draw = drawers[i];
    if (!draw) throw new Error(`${unit.fileName} has no drawing for ${side.name}`);
    return pageRef(document, pages, side, (canvas) => {
      draw(canvas, side, stock);
      drawTemplate(canvas, side, template);
      drawSlug(canvas, side, stock, unit);
    });
  });
  document.context.assign(pages, document.value({ Type: 'Pages', Kids: kids, Count: kids.length }));
  stock.slab.embed();
  stock.sans.embed();
  return document.bytes(unit.title, {
    Pages: pages,
    OCProperties: { OCGs: [template], D: { Order: [template], OFF: [template] } },
  });
}

function pageRef(
  document: ArtDocument,
  parent: PDFRef,
  side: SceneSide,
  draw: (canvas: Canvas) => void,
): PDFRef {
  const k = PT_PER_FINISHED_MM;
  const margin = (side.bleedMm + PAPER_MM) * k;
  const [left, bottom] = [PAGE_ORIGIN.x + margin, PAGE_ORIGIN.y + margin];
  const box = (grown: number): readonly number[] => [
    left - grown,
    bottom - grown,
    left + side.widthMm * k + grown,
    bottom + side.heightMm * k + grown,
  ];
  const canvas = new Canvas(document, {
    left,
    bottom,
    widthMm: side.widthMm,
    heightMm: side.heightMm,
    mirrored: side.front === 'right',
  });
  draw(canvas);
  return document.add({
    Type: 'Page',
    Parent: parent,
    MediaBox: box(margin),
    BleedBox: box(side.bleedMm * k),
    TrimBox: box(0),
    Group: { S: 'Transparency', CS: 'DeviceCMYK', I: true },
    Resources: canvas.resources.entries(),
    Contents: document.stream({}, canvas.content),
  });
}

if (import.meta.main) {
  const folder = join(import.meta.dirname, '../../assets/demo');
  writeFileSync(join(folder, BOOKMOBILE.fileName), await demoArtBookmobile());
  writeFileSync(join(folder, TRAILER.fileName), await demoArtTrailer());
  console.log(`Both artworks, drawn at 1:${DRAWING_SCALE}, are in ${folder}`);
}
