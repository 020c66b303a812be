/**
 * The job document: everything that a job is, as plain data. Nothing derived is stored (panel
 * rectangles, numbers and the install order come from core/layout), so a document cannot contradict itself.
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

/** Raised when a stored document needs a change of shape; core/job/migrate.ts carries older ones over. */
export const JOB_VERSION = 1;

/** The hash of the published schema of this version, written by `npm run schemas`. Frozen with each release. */
export const JOB_SCHEMA = 'f569cdbebd07caf7';

export const MOST_PROOF_REVISIONS = 999;

export const Acknowledgement = z.strictObject({
  /** Key of the finding, see core/layout/finding.ts. */
  finding: name,
  by: text,
  note: text,
  /** The figure that was acknowledged, where the finding has one; another figure needs another acknowledgement. */
  figure: z.number().optional(),
});
export type Acknowledgement = z.infer<typeof Acknowledgement>;

/** The signature of a customer under a proof. */
export const Approval = z.strictObject({
  by: name,
  on: isoDate,
  /** SHA-256 of the artwork that the proof showed. */
  artworkSha256: z.string().regex(/^[0-9a-f]{64}$/, 'use 64 lower-case hexadecimal digits'),
  note: text,
});
export type Approval = z.infer<typeof Approval>;

/** Limits that a shop sets for its own way of working; findings are measured against them. */
export const ShopLimits = z.strictObject({
  minOverlapMm: lengthMm,
  minPanelMm: lengthMm,
  /** Size on roll of the longest panel that the crew installs lying along a side; upright ones go the full height. */
  longestPanelMm: positiveMm,
  /** What film edges keep from the heads of a rivet row. */
  rivetClearanceMm: lengthMm,
  /** Across a rivet's head; half of it lies to each side of its row. */
  rivetHeadMm: lengthMm,
  maxProportionErrorPercent: z.number().positive().max(50),
  /** How seams are trimmed on the vehicle where a seam does not say; absent: over cutting tape. */
  seamTrim: SeamTrim.optional(),
  /** The most that a seam may rise over its length without a finding; absent: DEFAULT_SHAPE_LIMITS. */
  mostRiseMm: lengthMm.optional(),
  /** Of the corners of film edges; absent: DEFAULT_SHAPE_LIMITS in core/job/defaults.ts. */
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
  /** Who issues the sheets and is called when something does not fit; absent: the sheets leave room to write it. */
  shop: ShopIdentity.optional(),
  /** Empty until it is entered; sheets leave room to write it. */
  customer: z.string().max(MAX_TEXT),
  /** What is covered: types of vehicles, trailers or bodies in the order in which they are seen. */
  vehicles: z.array(Vehicle).min(1).max(26),
  /** Date of issue, printed on every sheet and written into every PDF. */
  date: isoDate,
  preparedBy: text,
  notes: text,
  displayUnit: z.enum(['mm', 'in']),
  /** Absent: year first. */
  dateOrder: DateOrder.optional(),
  /** What new sides are called; absent: left and right. */
  sideNames: SideNames.optional(),
  artwork: ArtworkReference.optional(),
  /** Finished size ÷ drawn size: a 1:10 drawing has scale 10. */
  scale: z.number().positive().max(1000),
  sides: z.array(Side),
  film: Film,
  laminate: Laminate.optional(),
  printer: Printer,
  /** Where panels are printed on more than one film; see core/job/job-films.ts. */
  otherFilms: z.array(OtherFilm).max(MAX_OTHER_FILMS).optional(),
  output: Output,
  /** Absent: every kind of page, on the paper of the install map. */
  sheets: SheetSettings.optional(),
  limits: ShopLimits,
  /** What new seams, sides and no-film areas begin with; absent: METRIC_ALLOWANCES in core/shop. */
  allowances: Allowances.optional(),
  /** What the artwork is checked against; absent: DEFAULT_ARTWORK_LIMITS in core/shop. */
  artworkLimits: ArtworkLimits.optional(),
  /** What the planner counts with; absent: its own estimates. */
  costCard: costCardSchema.optional(),
  /** What the customer is asked for; absent: ESTIMATED_PRICES in core/shop, and a quote is a draft. */
  prices: Prices.optional(),
  /** Absent until production is first opened, which then begins with `productionDefaults`. */
  production: ProductionSettings.optional(),
  /** The shop's figures for production; absent: DEFAULT_PRODUCTION in core/shop. */
  productionDefaults: ProductionDefaults.optional(),
  acknowledgements: z.array(Acknowledgement),
  /** Absent until the customer has signed a proof. */
  approval: Approval.optional(),
  /** Which customer proof the next one is: each other artwork raises it, and the shop may count otherwise. Absent: 1. */
  proofRevision: z.number().int().min(1).max(MOST_PROOF_REVISIONS).optional(),
  /** The highest number ever given to an id here, kept once an id is removed; see core/job/fresh-id.ts. */
  idsGiven: z.number().int().nonnegative().optional(),
});
export type Job = z.infer<typeof Job>;
