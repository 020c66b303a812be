import { describe, expect, it } from 'vitest';
import { panelLabelLines } from '../../renderer/production/roll-label.ts';

const box = (width: number, height: number) => ({ x: 3, y: 5, width, height });

describe('what stands on a drawn panel', () => {
  it('RL23 is job and panel on one line, on two, or the panel alone, as there is room', () => {
    const lines = (width: number, height: number) =>
      panelLabelLines('BM-26 LH-01', 'BM-26', box(width, height));
    expect(lines(130, 20)).toEqual(['BM-26 LH-01']);
    expect(lines(110, 40)).toEqual(['BM-26', 'LH-01']);
    expect(lines(40, 110)).toEqual(['BM-26', 'LH-01']);
    expect(lines(110, 24)).toEqual(['LH-01']);
    expect(lines(60, 40)).toEqual([]);
    expect(lines(200, 12)).toEqual([]);
  });

  it('RL23 is the number of the panel where there is one job', () => {
    expect(panelLabelLines('LH-01', undefined, box(80, 17))).toEqual(['LH-01']);
    expect(panelLabelLines('LH-01', undefined, box(70, 17))).toEqual([]);
  });
});
