/**
 * The job document: all data of a job. Nothing derived is stored (panel rectangles, numbers and the install order come
 * from core/layout), so a document cannot contradict itself.
 *
 * Lengths are finished millimeters unless the name or the comment says drawn.
 */
import { z } from 'zod';
import { Allowances } from '../shop/allowances.ts';
import { ArtworkLimits } from '../shop/artwork-limits.ts';
import { costCardSchema } from '../shop/cost-card.ts';
import { DateOrder } from '../shop/date-order.ts';
import { Prices } from '../shop/prices.ts';
import { ProductionDefaults, ProductionSettings } from '../shop/production-settings.ts';
import { SideNames } from '../shop/side-names.ts';
import { ArtworkReference } from './schema-artwork.ts';
import { Film, Laminate, MAX_OTHER_FILMS, OtherFilm, Printer } from './schema-film.ts';
import { SeamTrim } from './schema-layout.ts';
import { Output, SheetSettings } from './schema-output.ts';
import { id, isoDate, lengthMm, MAX_TEXT, name, positiveMm, text } from './schema-parts.ts';
import { Side } from './schema-side.ts';
import { Vehicle } from './schema-vehicle.ts';

export * from './schema-artwork.ts';
export * from './schema-body.ts';
export * from './schema-film.ts';
export * from './schema-layout.ts';
export * from './schema-output.ts';
export { MOST_INSTALL_DAYS, type StoredRect } from './schema-parts.ts';
export * from './schema-side.ts';
export * from './schema-vehicle.ts';

/** Increased when stored documents need a change of shape; core/job/migrate.ts converts older ones. */
export const JOB_VERSION = 1;

/** The hash of the published schema of this version, written by `npm run schemas`. Frozen with each release. */
export const JOB_SCHEMA = 'f569cdbebd07caf7';

export const MOST_PROOF_REVISIONS = 999;

export const Acknowledgement = z.strictObject({
  /** Key of the finding, see core/layout/finding.ts. */
  finding: name,
  by: text,
  note: text,
  /** The acknowledged figure, where the finding has one; a different figure must be acknowledged again. */
  figure: z.number().optional(),
});
export type Acknowledgement = z.infer<typeof Acknowledgement>;

/** A customer's signature on a proof. */
export const Approval = z.strictObject({
  by: name,
  on: isoDate,
  /** SHA-256 of the artwork that the proof showed. */
  artworkSha256: z.string().regex(/^[0-9a-f]{64}$/, 'use 64 lower-case hexadecimal digits'),
  note: text,
});
export type Approval = z.infer<typeof Approval>;

/** Limits of a shop's way of working, which findings are measured against. */
export const ShopLimits = z.strictObject({
  minOverlapMm: lengthMm,
  minPanelMm: lengthMm,
  /**
   * Size on roll of the longest panel that the crew installs along a side; vertical panels may have the full height.
   */
  longestPanelMm: positiveMm,
  /** Distance of film edges from the heads of a rivet row. */
  rivetClearanceMm: lengthMm,
  /** Diameter of a rivet head; half of it is on each side of its row. */
  rivetHeadMm: lengthMm,
  maxProportionErrorPercent: z.number().positive().max(50),
  /** How seams are trimmed on the vehicle unless a seam says otherwise; absent: over cutting tape. */
  seamTrim: SeamTrim.optional(),
  /** Greatest rise of a seam over its length without a finding; absent: DEFAULT_SHAPE_LIMITS. */
  mostRiseMm: lengthMm.optional(),
  /** Smallest radius at corners of film edges; absent: DEFAULT_SHAPE_LIMITS in core/job/defaults.ts. */
  leastCornerRadiusMm: lengthMm.optional(),
});
export type ShopLimits = z.infer<typeof ShopLimits>;

/** The shop that issues the sheets. */
export const ShopIdentity = z.strictObject({ name, address: text, phone: text });

export const Job = z.strictObject({
  format: z.literal('panelwright-job'),
  version: z.literal(JOB_VERSION),
  schema: z.literal(JOB_SCHEMA),
  id,
  /** The shop's own job number. */
  number: name,
  name,
  /**
   * The shop that issues the sheets and is called when something does not fit; absent: the sheets leave room to write
   * it.
   */
  shop: ShopIdentity.optional(),
  /** Empty until entered; sheets leave room to write it. */
  customer: z.string().max(MAX_TEXT),
  /** The vehicles covered: types of vehicles, trailers or bodies in display order. */
  vehicles: z.array(Vehicle).min(1).max(26),
  /** Date of issue, printed on every sheet and written into every PDF. */
  date: isoDate,
  preparedBy: text,
  notes: text,
  displayUnit: z.enum(['mm', 'in']),
  /** Absent: year first. */
  dateOrder: DateOrder.optional(),
  /** Names of new sides; absent: left and right. */
  sideNames: SideNames.optional(),
  artwork: ArtworkReference.optional(),
  /** Finished size ÷ drawn size: a 1:10 drawing has scale 10. */
  scale: z.number().positive().max(1000),
  sides: z.array(Side),
  film: Film,
  laminate: Laminate.optional(),
  printer: Printer,
  /** Present where panels are printed on more than one film; see core/job/job-films.ts. */
  otherFilms: z.array(OtherFilm).max(MAX_OTHER_FILMS).optional(),
  output: Output,
  /** Absent: every kind of page, on the paper of the install map. */
  sheets: SheetSettings.optional(),
  limits: ShopLimits,
  /** Starting values of new seams, sides and no-film areas; absent: METRIC_ALLOWANCES in core/shop. */
  allowances: Allowances.optional(),
  /** Limits for checking the artwork; absent: DEFAULT_ARTWORK_LIMITS in core/shop. */
  artworkLimits: ArtworkLimits.optional(),
  /** Costs used by the planner; absent: built-in estimates. */
  costCard: costCardSchema.optional(),
  /** Prices for the customer; absent: ESTIMATED_PRICES in core/shop, and a quote is a draft. */
  prices: Prices.optional(),
  /** Absent until production is first opened; it then begins with `productionDefaults`. */
  production: ProductionSettings.optional(),
  /** The shop's figures for production; absent: DEFAULT_PRODUCTION in core/shop. */
  productionDefaults: ProductionDefaults.optional(),
  acknowledgements: z.array(Acknowledgement),
  /** Absent until the customer has signed a proof. */
  approval: Approval.optional(),
  /** Number of the next customer proof. New artwork increases it, and the shop may set it. Absent: 1. */
  proofRevision: z.number().int().min(1).max(MOST_PROOF_REVISIONS).optional(),
  /** The highest number ever given to an id in this job, kept after the id is removed; see core/job/fresh-id.ts. */
  idsGiven: z.number().int().nonnegative().optional(),
});
export type Job = z.infer<typeof Job>;
