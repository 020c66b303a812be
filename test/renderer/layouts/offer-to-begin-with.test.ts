import { describe, expect, it } from 'vitest';
import type { PlanOffer } from '../../../core/seams/plan-answer.ts';
import { offerToBeginWith } from '../../../renderer/layouts/offer-to-begin-with.ts';

const offer = (id: PlanOffer['id'], letteringCrossed: number) =>
  ({ id, figures: { letteringCrossed } }) as PlanOffer;

describe('the layout that is selected first', () => {
  it('cuts the fewest lines of lettering, and is the first of those', () => {
    const offers = [
      offer('lowest-cost', 2),
      offer('least-film', 1),
      offer('best-hidden', 1),
      offer('equal-vertical', 0),
    ];
    expect(offerToBeginWith(offers)?.id).toBe('least-film');
    expect(offerToBeginWith(offers.toReversed())?.id).toBe('best-hidden');
  });

  it('is the first where none cuts more than another', () => {
    expect(offerToBeginWith([offer('lowest-cost', 0), offer('least-film', 0)])?.id).toBe('lowest-cost');
  });

  it('is equal vertical panels only where nothing else is offered', () => {
    expect(offerToBeginWith([offer('equal-vertical', 9)])?.id).toBe('equal-vertical');
    expect(offerToBeginWith([])).toBeUndefined();
  });
});
