/** Outputs: written, listed, verified, reprinted, and seen before they are written. */
import { z } from 'zod';
import { Job } from '../job/schema.ts';
import { PatchEnd } from '../layout/panel.ts';
import { OutputPanels } from '../output/older-outputs.ts';
import { ProductionRecord } from '../output/production-record.ts';
import { DATA_KINDS, SELECTED_SHEETS } from '../output/sheet-kind.ts';
import { ReprintFilm } from '../production/reprint-film.ts';
import { OutputVerification } from '../verify/output-verification.ts';
import { VerificationReport } from '../verify/verification-report.ts';
import { OutputSummary } from './output-summary.ts';
import { id, MAX_PX, Picture, rect, token, type Verb } from './parts.ts';

/** The damage, in finished mm of the side of the panel. */
const patchOrder = { outputId: z.number().int().positive(), panelLabel: z.string(), damage: rect };

export const OUTPUT_VERBS = {
  'folder:open': {
    request: z.strictObject({ outputId: z.number().int().positive() }),
    reply: z.strictObject({}),
  },

  'output:write': {
    request: z.strictObject({
      jobId: id,
      folder: token,
      /** Panels to write; absent: all. */
      panelIds: z.array(id).optional(),
      sheets: z.array(z.enum(SELECTED_SHEETS)),
      /** Whether the panels are verified once they are written; absent: they are. */
      isVerified: z.boolean().optional(),
    }),
    /** `remarks`: what there is to say about the files, such as an install map without pictures. */
    reply: z.strictObject({ output: OutputSummary, remarks: z.array(z.string()) }),
  },
  'output:list': { request: z.strictObject({ jobId: id }), reply: z.array(OutputSummary) },
  /** Each panel that was cut of the job, in the last output that has it. */
  'output:panels': { request: z.strictObject({ jobId: id }), reply: z.array(OutputPanels) },
  /** What the verification of an output found, in full; null where it was not verified. */
  'output:verification': {
    request: z.strictObject({ outputId: z.number().int().positive() }),
    reply: VerificationReport.nullable(),
  },
  /** Verifies the files of an output again, where they lie. */
  'output:verify': {
    request: z.strictObject({ outputId: z.number().int().positive() }),
    /** `remarks`: what there is to say about its sheets and the folder `current`. */
    reply: z.strictObject({ verification: OutputVerification, remarks: z.array(z.string()) }),
  },
  /** Where a panel of an output differs from the artwork; null where there is no such picture. */
  'output:difference': {
    request: z.strictObject({ outputId: z.number().int().positive(), panelLabel: z.string() }),
    reply: Picture.nullable(),
  },
  /** Keeps what an output was really made with, for reprints of its panels. */
  'output:record': {
    request: z.strictObject({ outputId: z.number().int().positive(), record: ProductionRecord }),
    reply: OutputSummary,
  },
  /** Saves the ticket of an output with what was entered of it; an earlier one of that name gives way. */
  'output:ticket': {
    request: z.strictObject({ outputId: z.number().int().positive(), folder: token }),
    reply: z.strictObject({ fileName: z.string(), remarks: z.array(z.string()) }),
  },
  /** What can be printed again of an output, and the film that the panels of `labels` need. */
  'reprint:panels': {
    request: z.strictObject({
      outputId: z.number().int().positive(),
      labels: z.array(z.string()).max(10_000),
    }),
    reply: z.strictObject({
      panels: z.array(
        z.strictObject({
          /** Among the files of the output. */
          file: z.string(),
          label: z.string(),
          panelId: id,
          sideCode: z.string(),
          /** Of the vehicles that it is on. */
          unitNumbers: z.array(z.string()),
          installOrder: z.number().int().positive(),
          /** Size on the roll, its border included. */
          widthMm: z.number().positive(),
          heightMm: z.number().positive(),
          /** On its side. */
          finishedBox: rect,
          filmBox: rect,
          /** Whether its file runs from right to left. */
          isMirrored: z.boolean(),
        }),
      ),
      film: ReprintFilm,
    }),
  },
  'output:reprint': {
    request: z.strictObject({
      outputId: z.number().int().positive(),
      panelLabels: z.array(z.string()).min(1),
      /** For which vehicle; absent only where the panels go on one. */
      unitNumber: z.string().optional(),
      reason: z.string().min(1).max(10_000),
      folder: token,
      /** Papers for the reprinted panels alone. */
      sheets: z.array(z.enum(SELECTED_SHEETS)),
      /** Whether a piece of a panel along a seam is written to be printed first and compared on the vehicle; absent: not. */
      hasColorStrip: z.boolean().optional(),
    }),
    /**
     * `differences` holds a sentence for every panel that is not byte-identical to the first time, `remarks` what there
     * is to say about the papers.
     */
    reply: z.strictObject({
      output: OutputSummary,
      differences: z.array(z.string()),
      remarks: z.array(z.string()),
    }),
  },
  /** Where a patch of a panel would lie; nothing is written. */
  'patch:plan': {
    request: z.strictObject(patchOrder),
    reply: z.strictObject({
      label: z.string(),
      /** When trimmed, on the side of its panel. */
      finishedBox: rect,
      /** Size on the roll, its border included. */
      filmBox: rect,
      ends: z.strictObject({ top: PatchEnd, right: PatchEnd, bottom: PatchEnd, left: PatchEnd }),
      isDamageBeyond: z.boolean(),
      /** Pieces of lettering that its edges cut. */
      cutCount: z.number().int().nonnegative(),
    }),
  },
  'output:patch': {
    request: z.strictObject({
      ...patchOrder,
      /** The vehicle that it is for, where the job has several. */
      unitNumber: z.string().optional(),
      reason: z.string().min(1).max(10_000),
      folder: token,
    }),
    reply: z.strictObject({ output: OutputSummary, remarks: z.array(z.string()) }),
  },
  /** First page of a file of an output, as it will print. */
  'output:picture': {
    request: z.strictObject({
      outputId: z.number().int().positive(),
      name: z.string(),
      page: z.number().int().positive(),
      widthPx: z.number().int().min(1).max(MAX_PX),
    }),
    reply: Picture.nullable(),
  },

  /** A window of a panel in film mm, as the panel would be written now, `widthPx` wide. */
  'panel:picture': {
    request: z.strictObject({
      job: Job,
      panelId: id,
      window: rect,
      widthPx: z.number().int().min(1).max(MAX_PX),
    }),
    reply: Picture,
  },

  /** A page of a sheet as it will print, made from the job as given. */
  'sheet:preview': {
    request: z.strictObject({
      job: Job,
      kind: z.enum(SELECTED_SHEETS).exclude(DATA_KINDS),
      page: z.number().int().positive(),
      widthPx: z.number().int().min(1).max(MAX_PX),
    }),
    reply: z.strictObject({ pageCount: z.number().int().positive(), picture: Picture }),
  },
  /** Saves one sheet as PDF, as it is now; an earlier one of that name gives way. */
  'sheet:save': {
    request: z.strictObject({ job: Job, kind: z.enum(SELECTED_SHEETS).exclude(DATA_KINDS), folder: token }),
    reply: z.strictObject({ fileName: z.string(), remarks: z.array(z.string()) }),
  },
} as const satisfies Record<string, Verb>;
