import type { PlanAnswer, PlanOffer } from '../../core/seams/plan-answer.ts';

/** The layouts of an answer, equal vertical panels last. */
export function offersOf({ outcome, equalVertical }: PlanAnswer): readonly PlanOffer[] {
  const plans = outcome.kind === 'plans' ? outcome.plans : [];
  return equalVertical ? [...plans, equalVertical] : plans;
}

/**
 * The layout that is selected at first: the first of those that cut the fewest lines of lettering, so that a cheaper
 * one never puts a seam through a phone number without asking. Equal vertical panels only where nothing else is
 * offered.
 */
export function offerToBeginWith(offers: readonly PlanOffer[]): PlanOffer | undefined {
  const planned = offers.filter(({ id }) => id !== 'equal-vertical');
  const fewest = Math.min(...planned.map(({ figures }) => figures.letteringCrossed));
  return planned.find(({ figures }) => figures.letteringCrossed === fewest) ?? offers[0];
}
