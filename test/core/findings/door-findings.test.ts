import { describe, expect, it } from 'vitest';
import { doorSection } from '../../../core/job/edits/edits.ts';
import type { Door, Joint, Side } from '../../../core/job/schema.ts';
import { edited, lap, panel, split } from '../job/sample-job.ts';
import { codesOf, findingOf, findingsOf, jobClean } from './sample-findings.ts';

/** A sliding door that is 960 mm wide and passes over the body 920 mm to the right: to 3280. */
const door: Door = {
  id: 'd1',
  name: 'Side door',
  gap: { top: { atMm: 0 }, right: { atMm: 2360 }, bottom: { atMm: 2270 }, left: { atMm: 1400 } },
  motion: { kind: 'slides', toward: 'right', byMm: 920, passes: 'over' },
  isEdgeWrapped: true,
};

const jobOf = (joints: Joint[], more: Partial<Door> = {}, side: Partial<Side> = {}) =>
  jobClean({
    doors: [{ ...door, ...more }],
    layout: split(
      'vertical',
      joints,
      Array.from({ length: joints.length + 1 }, (_, index) => panel(`p${index + 1}`)),
    ),
    ...side,
  });
const gap = (id: string, atMm: number): Joint => lap(id, atMm, { kind: 'gap' });
const doorCodes = (job: ReturnType<typeof jobOf>) => codesOf(job).filter((code) => code.startsWith('door-'));
/** Every message says that it has no source, as long as the trade has none. */
const saysSo = (job: ReturnType<typeof jobOf>) =>
  findingsOf(job)
    .filter(({ code }) => code.startsWith('door-'))
    .every(({ message }) => message.includes('common practice, no source'));

describe('findings of doors', () => {
  it('DOOR4: an overlap on a gap closes the door; a body-gap seam does not', () => {
    const closed = jobOf([gap('j1', 1400), lap('j2', 2360), lap('j3', 3800), lap('j4', 5000)]);
    expect(findingOf(closed, 'door-seam-closed')).toMatchObject({
      severity: 'warn',
      where: { seamId: 'j2', itemId: 'd1' },
      message:
        'The vertical seam at 2360 mm of LH lies on the gap of the door “Side door” as an overlap seam, so film runs across the gap and tears when the door opens (common practice, no source).',
    });
    expect(doorCodes(jobOf([gap('j1', 1400), gap('j2', 2360), lap('j3', 3800), lap('j4', 5000)]))).toEqual(
      [],
    );
    expect(saysSo(closed)).toBe(true);
  });

  it('DOOR4: says how far a body-gap seam runs past the gap', () => {
    const short = { gap: { ...door.gap, top: { atMm: 310 }, bottom: { atMm: 2110 } } };
    const job = jobOf([gap('j1', 1400), gap('j2', 2800), lap('j3', 4000), lap('j4', 5200)], short);
    // 310 above and 160 below.
    expect(findingOf(job, 'door-gap-past')).toMatchObject({ figure: 470, where: { seamId: 'j1' } });
    expect(saysSo(job)).toBe(true);
  });

  it('DOOR4: a sliding door scrapes an edge that faces it, and no other', () => {
    // The seam at 2900 lies in the way from 2360 to 3280. A second part on top has its edge toward the door.
    const seams = (top: 'first' | 'second', atMm = 2900) => [
      gap('j1', 1400),
      lap('j2', atMm, { top }),
      lap('j3', 4300),
    ];
    expect(findingOf(jobOf(seams('second')), 'door-scrapes-seam').message).toBe(
      'The door “Side door” slides to the rear by 920 mm, over the body, against the raised edge of the vertical seam at 2900 mm of LH, which it would scrape open (common practice, no source).',
    );
    expect(doorCodes(jobOf(seams('first')))).toEqual([]);
    expect(doorCodes(jobOf(seams('second', 3290)))).toEqual([]);
    const left = { motion: { ...door.motion, toward: 'left' } as Door['motion'] };
    // To the left it passes from 1400 down to 480: a first part on top faces it.
    const ahead = (top: 'first' | 'second') => [lap('j1', 700, { top }), lap('j3', 2700), lap('j4', 4400)];
    expect(doorCodes(jobOf(ahead('first'), left))).toEqual(['door-scrapes-seam']);
    expect(doorCodes(jobOf(ahead('second'), left))).toEqual([]);
    // Level seams lie along its way.
    const level = jobClean({
      doors: [door],
      layout: split('horizontal', [lap('h1', 900, { top: 'second' })], [panel('p1'), panel('p2')]),
    });
    expect(doorCodes(level)).toEqual([]);
  });

  it('DOOR4: a door that slides under the body carries its own edges against it', () => {
    const under = { motion: { ...door.motion, passes: 'under', byMm: 600 } as Door['motion'] };
    // Of the door 1400 to 2360 the last 600 mm go under: from 1760. An edge that looks to the right runs into the body.
    const seams = (top: 'first' | 'second', atMm: number) => [
      lap('j2', atMm, { top }),
      lap('j3', 3300),
      lap('j4', 4700),
    ];
    expect(doorCodes(jobOf(seams('first', 1900), under))).toEqual(['door-scrapes-seam']);
    expect(doorCodes(jobOf(seams('second', 1900), under))).toEqual([]);
    expect(doorCodes(jobOf(seams('first', 1700), under))).toEqual([]);
    expect(doorCodes(jobOf(seams('first', 2900), under))).toEqual([]);
  });

  it('DOOR4: goes by a leading edge that slopes', () => {
    // The right edge runs from 2060 at the top to 2660 at the bottom: with 600 mm it sweeps 2660 at the top, 3260 at the bottom.
    const slope = [
      { alongMm: 0, offMm: -300 },
      { alongMm: 2270, offMm: 300 },
    ];
    const sloped: Partial<Door> = {
      gap: { ...door.gap, right: { atMm: 2360, shape: slope } },
      motion: { ...door.motion, byMm: 600 } as Door['motion'],
    };
    const at = (atMm: number) =>
      jobOf([gap('j1', 1400), lap('j2', atMm, { top: 'second' }), lap('j3', 4300)], sloped);
    expect(doorCodes(at(3230))).toEqual(['door-scrapes-seam']);
    expect(doorCodes(at(3280))).toEqual([]);
    // Over the upper half alone the door stays short of 2960 + 20.
    const upper = jobClean({
      doors: [{ ...door, ...sloped }],
      layout: split(
        'horizontal',
        [lap('h', 1000)],
        [split('vertical', [lap('j2', 2990, { top: 'second' })], [panel('p1'), panel('p2')]), panel('p3')],
      ),
    });
    expect(doorCodes(upper)).toEqual([]);
  });

  it('DOOR6: an overlap across a gap that slopes lies over it for so long', () => {
    // The left edge runs from 1300 at the top to 1527 at the bottom: 10 mm down for each across.
    const slope = [
      { alongMm: 0, offMm: -100 },
      { alongMm: 2270, offMm: 127 },
    ];
    const sloped = { gap: { ...door.gap, left: { atMm: 1400, shape: slope } } };
    const across = (joint: Joint) =>
      jobOf([joint, gap('j2', 2360), lap('j3', 3800), lap('j4', 5000)], sloped);
    const { firstMm, secondMm } = lap('j1', 1420);
    expect(findingOf(across(lap('j1', 1420)), 'seam-across-gap')).toMatchObject({
      severity: 'warn',
      where: { seamId: 'j1', itemId: 'd1-left' },
      figure: expect.closeTo(10 * (firstMm + secondMm), 6),
    });
    // Clear of the gap by more than it reaches.
    expect(codesOf(across(lap('j1', 1300 - firstMm - 1)))).not.toContain('seam-across-gap');
    expect(findingOf(across(gap('j1', 1420)), 'seam-leaves-gap')).toMatchObject({
      figure: expect.closeTo(120, 6),
    });
    const shape = slope;
    expect(codesOf(across({ ...gap('j1', 1400), shape, follows: 'd1-left' }))).not.toContain(
      'seam-leaves-gap',
    );
  });

  it('DOOR6: an overlap on a gap that is no door’s runs across it; a body-gap seam there does not', () => {
    const shape = [
      { alongMm: 0, offMm: -40 },
      { alongMm: 2270, offMm: 40 },
    ];
    for (const own of [{}, { shape }]) {
      const hatch = { id: 'b1', name: 'Hatch', kind: 'body-gap', direction: 'vertical', atMm: 1400 } as const;
      const on = (joint: Joint) =>
        jobOf(
          [{ ...joint, ...own }, lap('j2', 2800), lap('j3', 4000), lap('j4', 5200)],
          {},
          { doors: [], bodyLines: [{ ...hatch, ...own }] },
        );
      expect(findingOf(on(lap('j1', 1400)), 'seam-across-gap')).toMatchObject({
        severity: 'warn',
        where: { seamId: 'j1', itemId: 'b1' },
        remedy: 'Make it a body-gap seam, or move it clear of the gap.',
      });
      expect(codesOf(on(gap('j1', 1400)))).not.toContain('seam-across-gap');
      expect(codesOf(on(lap('j1', 1500)))).not.toContain('seam-across-gap');
    }
    expect(codesOf(jobOf([lap('j1', 1400)]))).not.toContain('seam-across-gap');
  });

  it('DOOR4: a seam beside the hinges is pinched; in the gap and farther off it is not', () => {
    const hinged = { motion: { kind: 'hinged', at: 'left' } as Door['motion'] };
    const at = (atMm: number) =>
      jobOf([lap('j1', atMm), lap('j2', 2800), lap('j3', 4000), lap('j4', 5200)], hinged);
    expect(findingOf(at(1413), 'door-hinge-seam')).toMatchObject({ figure: 13, where: { seamId: 'j1' } });
    expect(doorCodes(at(1380))).toEqual(['door-hinge-seam']);
    expect(doorCodes(at(1427))).toEqual([]);
    expect(
      doorCodes(jobOf([gap('j1', 1400), lap('j2', 2800), lap('j3', 4000), lap('j4', 5200)], hinged)),
    ).toEqual([]);
    expect(saysSo(at(1413))).toBe(true);
  });

  it('DOOR4: a door that is a section of its own has none of them but what runs past it', () => {
    const job = jobOf([lap('j1', 3000)], { gap: { ...door.gap, top: { atMm: 300 } } });
    const made = edited(doorSection(job, { sideId: 's1', doorId: 'd1' }));
    expect(doorCodes(made)).toEqual(['door-gap-past', 'door-gap-past']);
  });
});
