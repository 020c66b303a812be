import { cmyk, PDFDocument, PDFName } from 'pdf-lib';

const MM = 72 / 25.4;

/** A page like that of `smallArtwork`, with a spot ink, White, and black at the left alone. */
export async function whitePlateArtwork(): Promise<Uint8Array> {
  const document = await PDFDocument.create({ updateMetadata: false });
  const page = document.addPage([320 * MM, 140 * MM]);
  page.drawRectangle({ width: 320 * MM, height: 140 * MM, color: cmyk(0.8, 0.4, 0.1, 0.1) });
  const { context } = document;
  const tint = context.obj({ FunctionType: 2, Domain: [0, 1], C0: [0, 0, 0, 0], C1: [0.2, 0, 0, 0], N: 1 });
  const plate = context.obj(['Separation', 'White', 'DeviceCMYK'].map((name) => PDFName.of(name)));
  plate.push(tint);
  page.node.Resources()?.set(PDFName.of('ColorSpace'), context.obj({ W: plate }));
  const content = `q /W cs 1 scn ${[20, 30, 200, 60].map((mm) => mm * MM).join(' ')} re f Q
    q 0 0 0 1 k ${[25, 40, 60, 20].map((mm) => mm * MM).join(' ')} re f Q`;
  page.node.addContentStream(context.register(context.stream(content)));
  return await document.save();
}
