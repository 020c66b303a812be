/** Outputs: written, listed, verified, reprinted, and previewed. */
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
      /** Whether to verify the panels after writing; absent: yes. */
      isVerified: z.boolean().optional(),
    }),
    /** `remarks`: notes about the files, such as an install map without pictures. */
    reply: z.strictObject({ output: OutputSummary, remarks: z.array(z.string()) }),
  },
  'output:list': { request: z.strictObject({ jobId: id }), reply: z.array(OutputSummary) },
  /** Each panel written for the job, in the last output that has it. */
  'output:panels': { request: z.strictObject({ jobId: id }), reply: z.array(OutputPanels) },
  /** The full verification result of an output; null where it was not verified. */
  'output:verification': {
    request: z.strictObject({ outputId: z.number().int().positive() }),
    reply: VerificationReport.nullable(),
  },
  /** Verifies the present files of an output again. */
  'output:verify': {
    request: z.strictObject({ outputId: z.number().int().positive() }),
    /** `remarks`: notes about its sheets and the folder `current`. */
    reply: z.strictObject({ verification: OutputVerification, remarks: z.array(z.string()) }),
  },
  /** Where a panel of an output differs from the artwork; null where there is no such picture. */
  'output:difference': {
    request: z.strictObject({ outputId: z.number().int().positive(), panelLabel: z.string() }),
    reply: Picture.nullable(),
  },
  /** Stores the actual settings and materials of an output, for reprints of its panels. */
  'output:record': {
    request: z.strictObject({ outputId: z.number().int().positive(), record: ProductionRecord }),
    reply: OutputSummary,
  },
  /** Saves the ticket of an output with its record; replaces an earlier file of that name. */
  'output:ticket': {
    request: z.strictObject({ outputId: z.number().int().positive(), folder: token }),
    reply: z.strictObject({ fileName: z.string(), remarks: z.array(z.string()) }),
  },
  /** What can be reprinted of an output, and the film that the panels in `labels` need. */
  'reprint:panels': {
    request: z.strictObject({
      outputId: z.number().int().positive(),
      labels: z.array(z.string()).max(10_000),
    }),
    reply: z.strictObject({
      panels: z.array(
        z.strictObject({
          /** Its file in the output. */
          file: z.string(),
          label: z.string(),
          panelId: id,
          sideCode: z.string(),
          /** Vehicles that it is on. */
          unitNumbers: z.array(z.string()),
          installOrder: z.number().int().positive(),
          /** Size on the roll, its border included. */
          widthMm: z.number().positive(),
          heightMm: z.number().positive(),
          /** Box on its side. */
          finishedBox: rect,
          filmBox: rect,
          /** Whether its file is mirrored. */
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
      /** Vehicle of the reprint; absent only where the panels go on one vehicle. */
      unitNumber: z.string().optional(),
      reason: z.string().min(1).max(10_000),
      folder: token,
      /** Papers for only the reprinted panels. */
      sheets: z.array(z.enum(SELECTED_SHEETS)),
      /**
       * Whether to write a color strip, a piece of a panel along a seam to print first and compare on the vehicle;
       * absent: no.
       */
      hasColorStrip: z.boolean().optional(),
    }),
    /**
     * `differences` has a sentence for every panel that is not byte-identical to the first output; `remarks` are notes
     * about the papers.
     */
    reply: z.strictObject({
      output: OutputSummary,
      differences: z.array(z.string()),
      remarks: z.array(z.string()),
    }),
  },
  /** Where a patch of a panel would be; nothing is written. */
  'patch:plan': {
    request: z.strictObject(patchOrder),
    reply: z.strictObject({
      label: z.string(),
      /** After trimming, on the side of its panel. */
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

  /** A window of a panel in film mm, as it would be written now, `widthPx` wide. */
  'panel:picture': {
    request: z.strictObject({
      job: Job,
      panelId: id,
      window: rect,
      widthPx: z.number().int().min(1).max(MAX_PX),
    }),
    reply: Picture,
  },

  /** A page of a sheet as it will print, made from the given job. */
  'sheet:preview': {
    request: z.strictObject({
      job: Job,
      kind: z.enum(SELECTED_SHEETS).exclude(DATA_KINDS),
      page: z.number().int().positive(),
      widthPx: z.number().int().min(1).max(MAX_PX),
    }),
    reply: z.strictObject({ pageCount: z.number().int().positive(), picture: Picture }),
  },
  /** Saves one sheet as PDF in its present state; replaces an earlier file of that name. */
  'sheet:save': {
    request: z.strictObject({ job: Job, kind: z.enum(SELECTED_SHEETS).exclude(DATA_KINDS), folder: token }),
    reply: z.strictObject({ fileName: z.string(), remarks: z.array(z.string()) }),
  },
} as const satisfies Record<string, Verb>;
