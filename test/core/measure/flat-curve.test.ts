import { describe, expect, it } from 'vitest';
import { pointsAlongCurve, pointsSimplified, stretchDistance } from '../../../core/measure/flat-curve.ts';
import type { Point } from '../../../core/measure/rect.ts';
import { randomFrom } from '../../support/random.ts';

const awayFrom = (points: readonly Point[], { x, y }: Point): number =>
  Math.min(
    ...points
      .slice(1)
      .map((to, index) => stretchDistance(x, y, points[index]!.x, points[index]!.y, to.x, to.y)),
  );

describe('curves made flat', () => {
  it('no point of a curve lies farther off its straight pieces than the slack', () => {
    const random = randomFrom(41);
    const point = () => ({ x: random() * 3000, y: random() * 1200 });
    for (let n = 0; n < 200; n++) {
      const [from, first, second, to] = [point(), point(), point(), point()];
      const slack = [0.1, 0.5, 3][n % 3]!;
      const flat = [from, ...pointsAlongCurve(from, [first, second], to, slack)];
      expect(flat.at(-1)).toEqual(to);
      // By de Casteljau's construction, at places that are not those of the pieces.
      const between = (a: Point, b: Point, t: number) => ({
        x: a.x + (b.x - a.x) * t,
        y: a.y + (b.y - a.y) * t,
      });
      for (let t = 0; t <= 1; t += 0.0037) {
        const [a, b, c] = [between(from, first, t), between(first, second, t), between(second, to, t)];
        const on = between(between(a, b, t), between(b, c, t), t);
        expect(awayFrom(flat, on)).toBeLessThanOrEqual(slack);
      }
    }
  });

  it('a quarter of a circle takes few pieces, a straight curve one', () => {
    // The usual four-point circle: handles of 0.5523 radii.
    const quarter = pointsAlongCurve(
      { x: 1000, y: 0 },
      [
        { x: 1000, y: 552.3 },
        { x: 552.3, y: 1000 },
      ],
      { x: 0, y: 1000 },
      0.5,
    );
    // 25 chords of an arc of 90° and radius 1 m are 0.49 mm off it, 24 are 0.54 mm off.
    expect(quarter.length).toBeGreaterThanOrEqual(25);
    expect(quarter.length).toBeLessThanOrEqual(30);
    expect(
      pointsAlongCurve(
        { x: 0, y: 0 },
        [
          { x: 1, y: 0 },
          { x: 2, y: 0 },
        ],
        { x: 3, y: 0 },
        0.5,
      ),
    ).toHaveLength(1);
  });

  it('points that lie near the lines between others go, the ends and the corners stay', () => {
    const random = randomFrom(7);
    const corners = [
      { x: 0, y: 0 },
      { x: 900, y: 40 },
      { x: 950, y: 700 },
      { x: 300, y: 720 },
    ];
    const fine = corners.flatMap((from, index) => {
      const to = corners[index + 1];
      if (!to) return [from];
      return Array.from({ length: 50 }, (_, n) => ({
        x: from.x + ((to.x - from.x) * n) / 50 + (n === 0 ? 0 : random() * 1.2 - 0.6),
        y: from.y + ((to.y - from.y) * n) / 50 + (n === 0 ? 0 : random() * 1.2 - 0.6),
      }));
    });
    const simple = pointsSimplified(fine, 1);
    expect(simple).toEqual(corners);
    for (const point of fine) expect(awayFrom(simple, point)).toBeLessThanOrEqual(1);
    expect(pointsSimplified(corners.slice(0, 2), 1)).toEqual(corners.slice(0, 2));
  });
});
