/**
 * The result of a verification: every panel of an output, drawn by a second renderer, mapped to its place and compared
 * with the artwork. Differences are in levels of 8 bits, 0 to 255; lengths are finished mm unless the name says
 * otherwise.
 */
import { z } from 'zod';

export const VERIFICATION_VERSION = 1;

const level = z.number().min(0).max(255);
const share = z.number().min(0).max(1);
const rect = z.strictObject({ xMm: z.number(), yMm: z.number(), widthMm: z.number(), heightMm: z.number() });

/** Possible faults of an output; their sentences are in verification-fault.ts. */
export const VerificationFaultCode = z.enum([
  'panel-missing',
  'panel-unlisted',
  'panels-swapped',
  'panel-shifted',
  'panel-scaled',
  'panel-mirrored',
  'picture-differs',
  'band-differs',
  'area-uncovered',
  'overprint-lost',
  'color-changed',
  'transparency-changed',
  'layer-state-changed',
  'output-intent-lost',
  'art-added',
  'art-lost',
  'art-changed',
  'samples-changed',
  'box-wrong',
  'contour-wrong',
  'file-damaged',
  'file-changed',
  'artwork-changed',
  'not-drawable',
  /** Always a note, never a fault. */
  'drawn-otherwise',
]);

export const VerificationFault = z.strictObject({
  code: VerificationFaultCode,
  /** Labels of the affected panels. */
  panels: z.array(z.string()),
  sideCode: z.string().optional(),
  /** Where on the side, finished mm. */
  at: rect.optional(),
  message: z.string(),
  remedy: z.string(),
});

/** How two pictures of the same area compare. */
export const PictureComparison = z.strictObject({
  /** Largest difference of any channel of any pixel. */
  largest: level,
  /** Mean over all pixels of each pixel's largest difference. */
  mean: level,
  /** Share of pixels that differ by more than one pixel's edge can cause. */
  differingShare: share,
  comparedPixels: z.number().int().nonnegative(),
});

export const PanelVerification = z.strictObject({
  label: z.string(),
  file: z.string(),
  /** Absent where there was nothing to compare. */
  picture: PictureComparison.optional(),
  /** A picture of the difference: its path in the output folder, and its hash, by which the archive stores it. */
  differencePicture: z.string().optional(),
  differencePictureSha256: z
    .string()
    .regex(/^[0-9a-f]{64}$/)
    .optional(),
});

/** The area that two neighbors share. */
export const BandVerification = z.strictObject({
  panels: z.tuple([z.string(), z.string()]),
  picture: PictureComparison,
});

export const SideVerification = z.strictObject({
  sideCode: z.string(),
  /** Pixels per inch of finished size that the comparison was made at. */
  ppi: z.number().positive(),
  /** Share of the side that verified panels cover, without no-film areas and dropped panels. */
  coveredShare: share,
  panels: z.array(PanelVerification),
  bands: z.array(BandVerification),
});

export const VerificationReport = z.strictObject({
  format: z.literal('panelwright-verification'),
  version: z.literal(VERIFICATION_VERSION),
  program: z.strictObject({ name: z.literal('Panelwright'), version: z.string() }),
  renderer: z.string(),
  state: z.enum(['verified', 'failed']),
  sides: z.array(SideVerification),
  faults: z.array(VerificationFault),
  /** Notes do not block the output, but are worth a look. */
  notes: z.array(VerificationFault),
});

export type VerificationFaultCode = z.infer<typeof VerificationFaultCode>;
export type VerificationFault = z.infer<typeof VerificationFault>;
export type PictureComparison = z.infer<typeof PictureComparison>;
export type PanelVerification = z.infer<typeof PanelVerification>;
export type BandVerification = z.infer<typeof BandVerification>;
export type SideVerification = z.infer<typeof SideVerification>;
export type VerificationReport = z.infer<typeof VerificationReport>;
