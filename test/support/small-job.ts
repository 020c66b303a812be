import { cmyk, grayscale, PDFDocument } from 'pdf-lib';
import { jobEmpty } from '../../core/job/defaults.ts';
import type { Job, Region } from '../../core/job/schema.ts';

/** A page of 320 × 140 mm at 1:10 with something to see in every corner, bleed of 5 mm around a side of 310 × 130. */
export async function smallArtwork(pageCount = 1): Promise<Uint8Array> {
  const document = await PDFDocument.create({ updateMetadata: false });
  const mm = 72 / 25.4;
  for (let n = 0; n < pageCount; n++) {
    const page = document.addPage([320 * mm, 140 * mm]);
    page.drawRectangle({
      x: 0,
      y: 0,
      width: 320 * mm,
      height: 140 * mm,
      color: cmyk(0.9 - 0.1 * n, 0.5, 0.2, 0.1),
    });
    page.drawRectangle({
      x: 20 * mm,
      y: 30 * mm,
      width: 90 * mm,
      height: 40 * mm,
      color: grayscale(0.8),
    });
    page.drawLine({
      start: { x: 0, y: 0 },
      end: { x: 320 * mm, y: 140 * mm },
      thickness: 3,
      color: cmyk(0, 0, 0, 1),
    });
  }
  return await document.save();
}

/** Two panels, the right one over the left, 3,100 × 1,300 mm; without findings that block. */
export function smallJob(over: Partial<Job> = {}, layout?: Region): Job {
  return {
    ...jobEmpty({
      id: 'small-job',
      number: 'SJ-7',
      name: 'Small job',
      customer: 'Alder County Library',
      date: '2026-03-09',
    }),
    preparedBy: 'Prepress',
    sides: [
      {
        id: 'left',
        code: 'LH',
        name: 'Left side',
        page: 1,
        artworkRect: { xMm: 5, yMm: 5, widthMm: 310, heightMm: 130 },
        front: 'right',
        bleed: { top: 50, right: 50, bottom: 50, left: 50 },
        bodyLines: [],
        noSeamAreas: [],
        ground: [],
        noFilmAreas: [],
        layout: layout ?? {
          kind: 'split',
          seams: 'vertical',
          joints: [{ id: 's1', kind: 'lap', atMm: 1330, firstMm: 15, secondMm: 10, top: 'second' }],
          parts: [
            { kind: 'panel', id: 'p1' },
            { kind: 'panel', id: 'p2' },
          ],
        },
        notes: '',
      },
    ],
    ...over,
  };
}
