/** What the shop calls too coarse, too thin, too heavy. Data, so that a shop can change it without a new program. */
import { z } from 'zod';

const ppi = z.number().nonnegative().max(10_000);
const mm = z.number().nonnegative().max(10_000);

/** Turns a finding up or down, or off. */
export const CheckSeverity = z.enum(['stop', 'warn', 'note', 'off']);

export const ArtworkLimits = z.strictObject({
  /** Never coarser than this, at any viewing distance. */
  minPpi: ppi,
  /** What the trade asks for from each viewing distance on, nearest first. */
  guidance: z.array(z.strictObject({ fromMm: mm, ppi })).max(20),
  /** Sum of all inks that the film takes, in percent; 400 is four full inks. */
  maxInkPercent: z.number().positive().max(1600),
  /** A stroke thinner than this on the vehicle is a hairline. */
  minStrokeMm: mm,
  /** A stroke drawn thinner than `hairlineDrawnMm` that comes out thicker than `hugeHairlineMm` was not meant so. */
  hairlineDrawnMm: mm,
  hugeHairlineMm: mm,
  /** Viewing distance ÷ height of a capital letter. */
  distancePerCapHeight: z.number().positive().max(10_000),
  /** Bleed may be short by this much without a finding. */
  bleedSlackMm: mm,
  /** A side with less than this share painted gets a finding, in percent. */
  minPaintedPercent: z.number().nonnegative().max(100),
  /** Severity of findings by their code, where the shop judges otherwise. */
  severities: z.record(z.string(), CheckSeverity),
});
export type ArtworkLimits = z.infer<typeof ArtworkLimits>;

/** Whether two shops would judge alike. */
export const isSameLimits = (one: ArtworkLimits, other: ArtworkLimits): boolean =>
  limitsText(one) === limitsText(other);

const limitsText = ({ severities, guidance, ...figures }: ArtworkLimits): string =>
  JSON.stringify([
    Object.entries(figures).toSorted(([a], [b]) => (a < b ? -1 : 1)),
    guidance.map(({ fromMm, ppi: asked }) => [fromMm, asked]),
    Object.entries(severities).toSorted(([a], [b]) => (a < b ? -1 : 1)),
  ]);

export const DEFAULT_ARTWORK_LIMITS: ArtworkLimits = {
  // Common practice, no source.
  minPpi: 20,
  // Common practice, no source: 100 ppi at arm's length, 75 from 1.5 m, 50 beyond 4.5 m.
  guidance: [
    { fromMm: 0, ppi: 100 },
    { fromMm: 1500, ppi: 75 },
    { fromMm: 4500, ppi: 50 },
  ],
  // Common practice, no source: the film's data sheet wins.
  maxInkPercent: 300,
  // Common practice, no source: some ten dots of a wide-format printer; thinner lines break up.
  minStrokeMm: 0.25,
  hairlineDrawnMm: 0.1,
  hugeHairlineMm: 2,
  // MUTCD 2009, 2A.13, from memory: an inch of letter height for every 30 feet of legibility distance.
  distancePerCapHeight: 360,
  // Common practice, no source.
  bleedSlackMm: 2,
  minPaintedPercent: 95,
  severities: {},
};
