/**
 * What a proof found: every panel of a run as a second renderer draws it, laid back in place and compared with
 * the artwork. Differences are in levels of 8 bits, 0 to 255; lengths are finished mm unless the name says
 * otherwise.
 */
import { z } from 'zod';

export const PROOF_VERSION = 1;

const level = z.number().min(0).max(255);
const share = z.number().min(0).max(1);
const rect = z.strictObject({ xMm: z.number(), yMm: z.number(), widthMm: z.number(), heightMm: z.number() });

/** What can be wrong with an output; the sentences are in proof-fault.ts. */
export const ProofFaultCode = z.enum([
  'panel-missing',
  'panel-unlisted',
  'panels-swapped',
  'panel-shifted',
  'panel-scaled',
  'picture-differs',
  'band-differs',
  'area-uncovered',
  'overprint-lost',
  'colour-changed',
  'transparency-changed',
  'layer-state-changed',
  'output-intent-lost',
  'art-added',
  'art-lost',
  'box-wrong',
  'claim-broken',
  'file-damaged',
  'file-changed',
  'artwork-changed',
  'not-drawable',
]);

export const ProofFault = z.strictObject({
  code: ProofFaultCode,
  /** Labels of the panels that it concerns. */
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
  /** Share of pixels that differ by more than fits within one pixel's edge. */
  differingShare: share,
  comparedPixels: z.number().int().nonnegative(),
});

export const PanelProof = z.strictObject({
  label: z.string(),
  file: z.string(),
  /** Absent where there was nothing to compare. */
  picture: PictureComparison.optional(),
  /** A picture of the difference, path below the output folder, and its hash, by which the archive keeps it. */
  differencePicture: z.string().optional(),
  differencePictureSha256: z
    .string()
    .regex(/^[0-9a-f]{64}$/)
    .optional(),
});

/** The area that two neighbours both carry. */
export const BandProof = z.strictObject({
  panels: z.tuple([z.string(), z.string()]),
  picture: PictureComparison,
});

export const SideProof = z.strictObject({
  sideCode: z.string(),
  /** Pixels per inch of finished size that the comparison was made at. */
  ppi: z.number().positive(),
  /** Share of the side, openings and dropped panels left out, that proved panels cover. */
  coveredShare: share,
  panels: z.array(PanelProof),
  bands: z.array(BandProof),
});

export const ProofReport = z.strictObject({
  format: z.literal('panelwright-proof'),
  version: z.literal(PROOF_VERSION),
  program: z.strictObject({ name: z.literal('Panelwright'), version: z.string() }),
  renderer: z.string(),
  state: z.enum(['proved', 'failed']),
  sides: z.array(SideProof),
  faults: z.array(ProofFault),
});

export type ProofFaultCode = z.infer<typeof ProofFaultCode>;
export type ProofFault = z.infer<typeof ProofFault>;
export type PictureComparison = z.infer<typeof PictureComparison>;
export type PanelProof = z.infer<typeof PanelProof>;
export type BandProof = z.infer<typeof BandProof>;
export type SideProof = z.infer<typeof SideProof>;
export type ProofReport = z.infer<typeof ProofReport>;
