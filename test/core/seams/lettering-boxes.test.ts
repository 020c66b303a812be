import { createCanvas, type SKRSContext2D } from '@napi-rs/canvas';
import { describe, expect, it } from 'vitest';
import { rectIntersection } from '../../../core/measure/rect.ts';
import { type LetteringBox, letteringBoxes } from '../../../core/seams/lettering-boxes.ts';
import type { SideRaster } from '../../../core/seams/raster.ts';
import '../../support/lettered-art.ts';
import { LETTERING_WAYS, letteringScore } from '../../support/lettering-score.ts';

/** A white picture of 900 × 600 pixels, a millimeter each, with its origin moved to the middle. */
function pictureWith(draw: (pen: SKRSContext2D) => void): SideRaster {
  const [width, height] = [900, 600];
  const pen = createCanvas(width, height).getContext('2d');
  pen.fillStyle = 'white';
  pen.fillRect(0, 0, width, height);
  pen.translate(width / 2, height / 2);
  pen.fillStyle = 'black';
  pen.textAlign = 'center';
  pen.font = '60px "Lettered Sans"';
  draw(pen);
  return { width, height, channels: 4, data: pen.getImageData(0, 0, width, height).data, ppi: 25.4 };
}

const boxAtMiddle = (boxes: readonly LetteringBox[]): LetteringBox | undefined =>
  boxes.find(({ rect }) => rectIntersection(rect, { x: 440, y: 290, width: 20, height: 20 }));

describe('lettering in a picture', () => {
  it.each([
    ['flat', 0, 0.9],
    ['graded', 0, 0.9],
    ['photo', 0, 0.8],
    ['graded', 12, 0.9],
  ] as const)('is found on a %s ground with grain of %d levels', async (ground, grain, leastRecall) => {
    const { recall, precision } = await letteringScore(ground, grain, 4);
    expect(recall).toBeGreaterThan(leastRecall);
    expect(precision).toBeGreaterThan(0.8);
  });

  it.each(LETTERING_WAYS)('is found in artwork where it is %s', async (way) => {
    const { recall, precision } = await letteringScore('graded', 0, 2, way);
    expect(recall).toBeGreaterThan(0.9);
    expect(precision).toBeGreaterThan(0.8);
  });

  const turned = (turn: number) => (pen: SKRSContext2D) => {
    pen.rotate(turn * 2 * Math.PI);
    pen.fillText('Riverside', 0, 20);
  };
  it.each<[string, (pen: SKRSContext2D) => void, width: number, height: number]>([
    ['upright, read downward', turned(1 / 4), 60, 290],
    ['upright, read upward', turned(-1 / 4), 60, 290],
    ['sloped by 15 degrees', turned(1 / 24), 300, 130],
    ['rising by 45 degrees', turned(-1 / 8), 240, 240],
    [
      'two letters',
      (pen) => {
        pen.font = '120px "Lettered Sans"';
        pen.fillText('Go', 0, 40);
      },
      160,
      90,
    ],
    [
      'faint and blurred',
      (pen) => {
        pen.fillStyle = '#dcdcdc';
        pen.shadowColor = '#dcdcdc';
        pen.shadowBlur = 4;
        pen.fillText('Riverside', 0, 20);
      },
      290,
      45,
    ],
    [
      'of letters that touch, as in a script',
      (pen) => {
        pen.font = '90px "Lettered Sans"';
        pen.letterSpacing = '-9px';
        pen.fillText('minimum', 0, 30);
      },
      470,
      70,
    ],
    [
      'drawn with a hairline',
      (pen) => {
        pen.lineWidth = 1.5;
        pen.font = '130px "Lettered Serif"';
        pen.strokeText('PDF BOX', 0, 40);
      },
      560,
      95,
    ],
  ])('is found where it is %s', (_, draw, width, height) => {
    const box = boxAtMiddle(letteringBoxes(pictureWith(draw)));
    expect(box?.rect.width).toBeGreaterThan(0.7 * width);
    expect(box?.rect.height).toBeGreaterThan(0.7 * height);
    expect(box?.rect.width).toBeLessThan(1.5 * width);
    expect(box?.rect.height).toBeLessThan(1.5 * height);
  });

  it.each<[string, (pen: SKRSContext2D, x: number) => void]>([
    ['discs', (pen, x) => pen.arc(x, 0, 30, 0, 7)],
    [
      'diamonds',
      (pen, x) => {
        for (const turn of [0, 1, 2, 3].map((quarter) => (quarter * Math.PI) / 2)) {
          pen.lineTo(x + 30 * Math.cos(turn), 30 * Math.sin(turn));
        }
      },
    ],
    ['windows', (pen, x) => pen.rect(x - 30, -30, 60, 60)],
  ])('a row of %s is none', (_, draw) => {
    const picture = pictureWith((pen) => {
      for (let x = -320; x <= 320; x += 80) {
        pen.beginPath();
        draw(pen, x);
        pen.fill();
      }
    });
    expect(letteringBoxes(picture)).toEqual([]);
  });

  it('what is known is passed over, and what stands beside it is found', () => {
    const picture = pictureWith((pen) => {
      pen.fillText('Known', -250, 20);
      pen.fillText('Other', 150, 20);
    });
    const boxes = letteringBoxes(picture, undefined, [{ x: 80, y: 250, width: 240, height: 90 }]);
    expect(boxes).toHaveLength(1);
    expect(boxes[0]?.rect.x).toBeGreaterThan(450);
  });

  it('a blank picture has none', () => {
    const blank = {
      width: 300,
      height: 200,
      channels: 1,
      data: new Uint8Array(60_000).fill(200),
      ppi: 10,
    } as const;
    expect(letteringBoxes(blank)).toEqual([]);
  });
});
