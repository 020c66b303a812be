import { readFileSync } from 'node:fs';
import * as fontkit from 'fontkit';
import { PDFDocument, type PDFPage, rgb } from 'pdf-lib';
import {
  LETTERED_FONTS,
  LETTERED_PPI,
  type LetteredArt,
  type LetteredLine,
  letteredScene,
  paintLettering,
  sceneStream,
} from './lettered-art.ts';
import { pdfiumPicture } from './pdfium.ts';

/** The forms of lettering in artwork: text in a font, vector outlines, pixels. */
export const LETTERING_WAYS = ['live', 'outlined', 'rasterized'] as const;
export type LetteringWay = (typeof LETTERING_WAYS)[number];

/** A scene as a page of artwork, one point a pixel, drawn again by PDFium as the program draws it. */
export async function letteredPage(
  seed: number,
  ground: 'flat' | 'graded' | 'photo',
  way: LetteringWay,
): Promise<LetteredArt> {
  const scene = letteredScene(sceneStream(seed), ground);
  if (way === 'rasterized') paintLettering(scene);
  const { width, height } = scene.canvas;
  const document = await PDFDocument.create();
  const page = document.addPage([width, height]);
  page.drawImage(await document.embedPng(scene.canvas.toBuffer('image/png')), { x: 0, y: 0, width, height });
  if (way === 'live') await drawText(document, page, scene.lines);
  if (way === 'outlined') for (const line of scene.lines) drawOutlines(page, line);
  const picture = await pdfiumPicture(await document.save(), { ppi: 72 });
  const raster = { width, height, channels: 4 as const, data: picture.data, ppi: LETTERED_PPI };
  return { raster, truth: scene.truth };
}

async function drawText(document: PDFDocument, page: PDFPage, lines: readonly LetteredLine[]): Promise<void> {
  document.registerFontkit(fontkit as unknown as Parameters<PDFDocument['registerFontkit']>[0]);
  for (const { words, font: name, size, x, baseline, tone } of lines) {
    const font = await document.embedFont(readFileSync(LETTERED_FONTS[name]));
    page.drawText(words, { x, y: page.getHeight() - baseline, size, font, color: colorOf(tone) });
  }
}

function drawOutlines(page: PDFPage, { words, font: name, size, x, baseline, tone }: LetteredLine): void {
  const font = fontkit.create(readFileSync(LETTERED_FONTS[name]));
  const scale = size / font.unitsPerEm;
  const { glyphs, positions } = font.layout(words);
  let pen = 0;
  for (const [index, glyph] of glyphs.entries()) {
    const outline = svgFromOutline(glyph.path.commands, pen, scale);
    if (outline !== '')
      page.drawSvgPath(outline, { x, y: page.getHeight() - baseline, color: colorOf(tone) });
    pen += positions[index]!.xAdvance;
  }
}

const SVG_COMMANDS: Readonly<Record<string, string>> = {
  moveTo: 'M',
  lineTo: 'L',
  quadraticCurveTo: 'Q',
  bezierCurveTo: 'C',
  closePath: 'Z',
};

/** Font units point up, SVG paths down. */
const svgFromOutline = (
  commands: readonly { readonly command: string; readonly args: readonly number[] }[],
  pen: number,
  scale: number,
): string =>
  commands
    .map(({ command, args }) => {
      const points = args.map((value, i) => (i % 2 === 0 ? (pen + value) * scale : -value * scale));
      return `${SVG_COMMANDS[command]}${points.map((value) => value.toFixed(3)).join(' ')}`;
    })
    .join('');

const colorOf = ([red, green, blue]: LetteredLine['tone']) => rgb(red / 255, green / 255, blue / 255);
