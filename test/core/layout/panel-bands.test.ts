import { describe, expect, it } from 'vitest';
import { panelBands } from '../../../core/layout/panel-bands.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { smallJob } from '../../support/small-job.ts';

describe('the bands of a panel', () => {
  const [layout] = jobLayout(smallJob());
  const bandsOf = (label: string) =>
    panelBands(layout!.panels.find((panel) => panel.label === label)!).map((band) => ({
      ...band,
      rect: Object.values(band.rect).map((mm) => Math.round(mm * 1000) / 1000),
    }));

  it('are border and bleed outside of what is seen, and the overlap on both sides of the seam', () => {
    // Left panel: 1330 mm with 50 mm bleed and 15 mm past the seam, in a border of 30 mm: film of 1455 × 1460 mm.
    const left = layout!.panels.find(({ id }) => id === 'p1')!;
    const bands = bandsOf(left.label);
    expect(bands.filter(({ kind }) => kind === 'border').map(({ rect }) => rect)).toEqual([
      [0, 0, 1455, 30],
      [1425, 0, 30, 1460],
      [0, 1430, 1455, 30],
      [0, 0, 30, 1460],
    ]);
    expect(bands.filter(({ kind }) => kind === 'bleed').map(({ edge, rect }) => [edge, ...rect])).toEqual([
      ['top', 30, 30, 1395, 50],
      ['bottom', 30, 1380, 1395, 50],
      ['left', 30, 30, 50, 1400],
    ]);
    expect(bands.filter(({ kind }) => kind === 'overlap')).toEqual([
      {
        kind: 'overlap',
        edge: 'right',
        rect: [1400, 30, 25, 1400],
        widthMm: 25,
        lies: 'under',
        neighborIds: ['p2'],
      },
    ]);
  });

  it('begin at the other side of the seam on the panel that lies over', () => {
    const right = layout!.panels.find(({ id }) => id === 'p2')!;
    const overlap = bandsOf(right.label).find(({ kind }) => kind === 'overlap');
    expect(overlap).toMatchObject({
      edge: 'left',
      rect: [30, 30, 25, 1400],
      lies: 'over',
      neighborIds: ['p1'],
    });
  });
});
