import { describe, expect, it } from 'vitest';
import { jobLetter, panelLabelLines } from '../../../renderer/production/roll-label.ts';

const box = (width: number, height: number) => ({ x: 3, y: 5, width, height });

describe('what stands on a drawn panel', () => {
  it('is job and panel on one line, on two, or a letter for the job, as there is room', () => {
    const lines = (width: number, height: number) =>
      panelLabelLines('BM-26 LH-01', { mark: 'BM-26', index: 2 }, box(width, height));
    expect(lines(130, 20)).toEqual(['BM-26 LH-01']);
    expect(lines(110, 40)).toEqual(['BM-26', 'LH-01']);
    expect(lines(40, 110)).toEqual(['BM-26', 'LH-01']);
    expect(lines(110, 24)).toEqual(['C LH-01']);
    expect(lines(60, 40)).toEqual([]);
    expect(lines(200, 12)).toEqual([]);
    const long = { mark: 'ALD-2026-11', index: 2 };
    expect(panelLabelLines('ALD-2026-11 LH-01', long, box(36, 80))).toEqual(['C', 'LH-01']);
  });

  it('gives every job a letter of its own', () => {
    expect([0, 1, 25, 26, 27, 51, 52].map(jobLetter)).toEqual(['A', 'B', 'Z', 'AA', 'AB', 'AZ', 'BA']);
  });

  it('is the number of the panel where there is one job', () => {
    expect(panelLabelLines('LH-01', undefined, box(80, 17))).toEqual(['LH-01']);
    expect(panelLabelLines('LH-01', undefined, box(70, 33))).toEqual(['LH-', '01']);
    expect(panelLabelLines('LH-01', undefined, box(70, 17))).toEqual(['01']);
    expect(panelLabelLines('LH-01', undefined, box(40, 17))).toEqual([]);
  });
});
