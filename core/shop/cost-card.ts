import { z } from 'zod';
import { LENGTH_TOLERANCE_MM } from '../measure/units.ts';

/** For one person, in the currency of the shop. An estimate, no source; production starts with it, too. */
export const DEFAULT_LABOUR_PER_HOUR = 45;

/** A figure that is a time, a price or a count: never negative, never endless. */
const figure = (value: number) => z.number().min(0).max(1_000_000).default(value);
/** A share from 0 (shows in full) to 1 (cannot be seen). */
const share = (value: number) => z.number().min(0).max(1).default(value);

/**
 * What a seam, a panel and a square meter cost this shop. Minutes are minutes of one person; prices and
 * values share one currency, whichever the shop counts in.
 *
 * Every default is an estimate from common practice, no source, meant to be replaced by the shop's own
 * figures. They were chosen so that the order of choices is the one a careful planner makes by hand; the
 * reason stands beside each.
 */
export const costCardSchema = z
  .strictObject({
    /** Whether the figures are still the built-in guesses. Output that depends on them says so. */
    isEstimate: z.boolean().default(true),

    /** One rate, in the shop and on the vehicle. In a job, production's figure counts, see job-cost-card. */
    laborPerHour: figure(DEFAULT_LABOUR_PER_HOUR),
    /** Cast film and laminate, roughly: most of what a panel costs, so a needless panel is never free. */
    filmPerSquareMeter: figure(14),
    laminatePerSquareMeter: figure(9),
    /**
     * Of the film beside a panel, the part that finds no use. Half: neighbors fill some of it, and what is left
     * goes to small jobs or to the bin. At 1, a narrow strip would pay for a whole roll and be cut in pieces.
     */
    offcutWasteShare: share(0.5),

    /**
     * Laying and registering one meter of seam. A curve doubles the work because film must be warmed and
     * held while it is matched; a recess takes five times as long because the lap is formed into it twice.
     * A gap needs tucking only, no matching of edge on edge.
     */
    seamMinutesPerMeter: z
      .strictObject({ flat: figure(3), curve: figure(6), recess: figure(15), gap: figure(3) })
      .prefault({}),
    /** Extra for a meter of lap through the busiest picture: the eye finds a shift of 1 mm there. */
    pictureMinutesPerMeter: figure(5),
    /**
     * One line of small lettering cut by a seam: matched letter by letter, and most often the part reprinted. Letters
     * with capitals over 150 mm cost less, the higher they are.
     */
    letteringMinutesPerCrossing: figure(25),
    /** Cutting away the spare image of a shift lap on the vehicle, with tape under the knife. */
    siteTrimMinutesPerMeter: figure(1.5),

    /** An edge trimmed to the line in the shop: finding it, setting the rule, checking; then the cut itself. */
    shopTrimMinutesPerEdge: figure(4),
    shopTrimMinutesPerMeter: figure(1),

    /**
     * Unrolling, hanging, squaring up and tacking one panel: a fixed amount, and more for each further person that its
     * width and height together require. Two short panels cost more than one long one.
     */
    panelInstallMinutes: figure(10),
    panelInstallMinutesPerMeter: figure(0.5),
    /** Film longer than this takes two people, then three. */
    twoPeopleFromMeters: figure(3),
    threePeopleFromMeters: figure(6),
    /** One file, one label, one check, one place in the box. */
    panelShopMinutes: figure(6),
    /** Squeegee work on the surface: the same for every plan, here so that the hours are whole. */
    installMinutesPerSquareMeter: figure(6),
    /** Printing and laminating one meter of roll, attended. */
    shopMinutesPerRollMeter: figure(3),

    /** Replanning only: looking again at a seam that moved. Keeps a plan still unless moving pays. */
    moveMinutesPerSeam: figure(3),

    /**
     * What an open seam takes from the job's worth, per meter. About three hours of labor for a meter
     * would be absurd, nothing would let seams lie anywhere; twenty minutes' worth makes a longer seam
     * on a line beat a shorter one across an open door, which is what handbooks teach.
     */
    visibleSeamPerMeter: figure(15),
    /** How much of that a line takes away. A molding covers the edge, a crease only distracts the eye, rivets hide nothing. */
    hidingShare: z
      .strictObject({
        crease: share(0.6),
        molding: share(0.9),
        'body-gap': share(1),
      })
      .prefault({}),
    /**
     * Carrying one panel over a meter of line instead of ending it there. A gap must be slit and both edges
     * wrapped with no film to spare; a molding must be formed over or cut round; a crease and rivets cost
     * some heat, wherever the seams are.
     */
    crossingMinutesPerMeter: z
      .strictObject({
        crease: figure(0),
        molding: figure(4),
        'body-gap': figure(8),
        'rivet-row': figure(0),
      })
      .prefault({}),
  })
  .readonly();

export type CostCard = z.infer<typeof costCardSchema>;

/** The built-in card: every figure an estimate. */
export const ESTIMATED_COST_CARD: CostCard = costCardSchema.parse({});

/** How many people a panel takes, by its film's longer measure in mm. */
export function panelPeople(card: CostCard, longestMm: number): number {
  if (longestMm <= card.twoPeopleFromMeters * 1000 + LENGTH_TOLERANCE_MM) return 1;
  return longestMm <= card.threePeopleFromMeters * 1000 + LENGTH_TOLERANCE_MM ? 2 : 3;
}

/** Minutes of handling one panel on the vehicle, of all people together. Film in mm. */
export const panelHandlingMinutes = (card: CostCard, width: number, height: number): number =>
  card.panelInstallMinutes +
  (panelPeople(card, Math.max(width, height)) * card.panelInstallMinutesPerMeter * (width + height)) / 1000;

/** Money for a number of minutes of labor. */
export const laborCost = (card: CostCard, minutes: number): number => (minutes / 60) * card.laborPerHour;
