import { describe, expect, it } from 'vitest';
import type { Job } from '../../../core/job/schema.ts';
import { jobLayout, type SideLayout } from '../../../core/layout/side-layout.ts';
import type { Point, Rect } from '../../../core/measure/rect.ts';
import { installMap } from '../../../core/sheets/install-map.ts';
import type { Sheet } from '../../../core/sheets/page-frame.ts';
import { bookmobileJob, dropsRegion, sideOf, testFonts } from './fixture.ts';

/** A stretch along which two panels meet, on the sheet, and what must be said of it. */
interface Stretch {
  readonly text: string;
  readonly from: Point;
  readonly to: Point;
}

/** Worked out from the panels alone: where the visible parts of two of them touch. */
function stretches({ panels, seams, outline }: SideLayout, picture: Rect): Stretch[] {
  const scale = picture.width / outline.width;
  const at = (x: number, y: number): Point => ({ x: picture.x + x * scale, y: picture.y + y * scale });
  return panels.flatMap((a) =>
    panels.flatMap((b): Stretch[] => {
      const isBeside = Math.abs(a.net.x + a.net.width - b.net.x) < 0.01;
      const isAbove = Math.abs(a.net.y + a.net.height - b.net.y) < 0.01;
      const [top, bottom] = [
        Math.max(a.net.y, b.net.y),
        Math.min(a.net.y + a.net.height, b.net.y + b.net.height),
      ];
      const [left, right] = [
        Math.max(a.net.x, b.net.x),
        Math.min(a.net.x + a.net.width, b.net.x + b.net.width),
      ];
      if (!(isBeside && bottom > top) && !(isAbove && right > left)) return [];
      const seam = seams.find(
        ({ direction, firstPanelIds, secondPanelIds }) =>
          (direction === 'vertical') === isBeside &&
          firstPanelIds.includes(a.id) &&
          secondPanelIds.includes(b.id),
      )!;
      const [over, under] = seam.top === 'first' ? [a, b] : [b, a];
      const text = {
        lap: `${over.number} over ${under.number}`,
        butt: `${a.number} meets ${b.number}`,
        gap: `gap ${a.number} | ${b.number}`,
      }[seam.joint];
      const [from, to] = isBeside
        ? [at(b.net.x, top), at(b.net.x, bottom)]
        : [at(left, b.net.y), at(right, b.net.y)];
      return [{ text, from, to }];
    }),
  );
}

const isOn = ({ from, to }: Stretch, { x, y }: Point): boolean =>
  x >= from.x - 0.05 && x <= to.x + 0.05 && y >= from.y - 0.05 && y <= to.y + 0.05;

const isTouching = ({ from, to }: Stretch, { x, y, width, height }: Rect): boolean =>
  x <= to.x && x + width >= from.x && y <= to.y && y + height >= from.y;

/** What is wrong with the texts of the seams on a page. */
function strayTexts(page: Sheet, layout: SideLayout): string[] {
  const outline = page.items.find(({ tag, kind }) => tag === 'outline' && kind === 'rect');
  const picture = outline!.kind === 'rect' ? outline!.rect : undefined;
  const expected = stretches(layout, picture!);
  const faults: string[] = [];
  for (const stretch of expected) {
    const own = page.items.filter(({ tag }) => tag === `seam text ${stretch.text}`);
    const tiles = own.flatMap((item) => (item.kind === 'rect' ? [item.rect] : []));
    if (tiles.length !== 1) {
      faults.push(`${tiles.length} times ${stretch.text}`);
      continue;
    }
    const leads = own.flatMap((item) => (item.kind === 'line' ? [item.to] : []));
    if (leads.length === 0) {
      if (!isTouching(stretch, tiles[0]!)) faults.push(`${stretch.text} stands off its seam`);
    } else if (!leads.every((to) => isOn(stretch, to))) {
      faults.push(`${stretch.text} is led to another place`);
    }
  }
  const said = page.items.filter(({ tag, kind }) => tag.startsWith('seam text') && kind === 'text');
  if (said.length !== expected.length) faults.push(`${said.length} texts of ${expected.length}`);
  return faults;
}

const drops = (count: number): Job =>
  bookmobileJob({
    sides: [
      sideOf('LH', 'Left side', { width: 6000, height: 2100 }, { layout: dropsRegion('l', 6000, count) }),
    ],
  });

const JOBS: Readonly<Record<string, Job>> = {
  bookmobile: bookmobileJob(),
  'bookmobile in inches': bookmobileJob({ displayUnit: 'in' }),
  'five drops': drops(5),
  'fourteen drops': drops(14),
};

describe('texts of seams', () => {
  for (const [name, job] of Object.entries(JOBS)) {
    for (const sheet of ['Letter', 'A4', 'A3'] as const) {
      it(`SH5 stand on their seam or are led to it, each once and no other: ${name} on ${sheet}`, () => {
        const layouts = jobLayout(job);
        const sheets = installMap(job, layouts, { fonts: testFonts(), sheet });
        for (const layout of layouts) {
          const page = sheets.find(({ title }) =>
            title.startsWith(`${layout.side.code} · ${layout.side.name}`),
          );
          expect(strayTexts(page!, layout)).toEqual([]);
        }
      });
    }
  }

  it('SH5 is what the check above refuses where a text is moved off its seam', () => {
    const job = drops(5);
    const layouts = jobLayout(job);
    const sheets = installMap(job, layouts, { fonts: testFonts(), sheet: 'Letter' });
    const page = sheets.find(({ title }) => title.startsWith('LH · Left side'))!;
    const moved = page.items.map((item) =>
      item.kind === 'rect' && item.tag === 'seam text 3 over 2'
        ? { ...item, rect: { ...item.rect, x: item.rect.x + 11 } }
        : item,
    );
    expect(strayTexts({ ...page, items: moved }, layouts[0]!)).toEqual(['3 over 2 stands off its seam']);
  });
});
