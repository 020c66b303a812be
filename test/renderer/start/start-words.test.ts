import { describe, expect, it } from 'vitest';
import type { ScaleProposal } from '../../../core/proposal/scale-proposal.ts';
import { proposalText, scaleReasonText } from '../../../renderer/start/start-words.ts';

const side = (page: number, name: string, width = 612) => ({
  page,
  name,
  rect: { x: 0, y: 0, width, height: 214 },
});

describe('what is proposed, in one sentence', () => {
  it('says pages, size, scale and sides', () => {
    const two = [side(1, 'Driver side'), side(2, 'Passenger side')];
    expect(proposalText(two, 10, 'mm')).toBe(
      '2 pages, 6120 × 2140 mm at 1:10: driver side and passenger side',
    );
    expect(proposalText([side(3, 'Rear', 205)], 12.5, 'mm')).toBe('1 page, 2562.5 × 2675 mm at 1:12.5: rear');
    expect(proposalText([...two, side(3, 'Rear', 205)], 20, 'mm')).toBe(
      '3 pages, at 1:20: driver side, passenger side and rear',
    );
  });

  it('says why the scale is what it is', () => {
    const read: ScaleProposal = {
      scale: 10,
      evidence: { kind: 'stated', page: 2, text: 'Scale 1:10' },
      others: [{ scale: 20, evidence: { kind: 'vehicle' } }],
    };
    expect(scaleReasonText(10, read)).toBe('1:10, because page 2 says “Scale 1:10”.');
    expect(scaleReasonText(20, read)).toBe(
      '1:20, because it makes a vehicle of a usual size; the pages say nothing of their scale.',
    );
    expect(scaleReasonText(16, read)).toBe('1:16, as you entered it.');
  });
});
