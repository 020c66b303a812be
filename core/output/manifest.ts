/**
 * The manifest of an output: its files, their source and size, so that other programs need not open a PDF. Lengths are
 * finished mm unless the name says drawn; rectangles of a panel are in finished space of its side, with the origin at
 * the top left of the side.
 */
import { z } from 'zod';
import { Acknowledgement, OutputSize } from '../job/schema.ts';
import { PAGE_BOXES } from '../measure/page-box.ts';
import { FillKind } from '../shop/fill-item.ts';
import { FilmKind } from '../shop/shelf.ts';
import { OutputMark } from './output-mark.ts';
import { DATA_KINDS, SHEET_KINDS } from './sheet-kind.ts';
import { VERDICT_WORDS } from './verdict.ts';

export const MANIFEST_VERSION = 1;
/** Which draft of the version this is: a hash of its published schema, kept in step by `npm run schemas` and a test. */
export const MANIFEST_SCHEMA = 'eadb4b03a03b59ce';

const sha256 = z.string().regex(/^[0-9a-f]{64}$/);
const rect = z.strictObject({ xMm: z.number(), yMm: z.number(), widthMm: z.number(), heightMm: z.number() });

export const ManifestFile = z.strictObject({
  /** Path below the folder of the manifest, with forward slashes. */
  file: z.string(),
  kind: z.enum(['panel', 'strip', 'color-strip', 'fill', ...DATA_KINDS]),
  sha256,
  sizeBytes: z.number().int().nonnegative(),
});

/** No hash: sheets show the status of the verification and are rewritten when it changes. */
export const ManifestSheet = z.strictObject({
  file: z.string(),
  kind: z.enum(SHEET_KINDS).exclude(DATA_KINDS),
});

const ManifestFilm = z.strictObject({
  /** A for the first film of the job, then B and so on. */
  letter: z.string(),
  name: z.string(),
  kind: FilmKind,
  /** Name of the laminate; absent where there is none. */
  laminate: z.string().optional(),
  printer: z.string(),
});

export const ManifestPanel = z.strictObject({
  file: z.string(),
  label: z.string(),
  panelId: z.string(),
  sideId: z.string(),
  sideCode: z.string(),
  /** Place in the install order of the side, from 1. */
  installOrder: z.number().int().positive(),
  /** The visible area of the installed panel, or its bounding rectangle. */
  finishedBox: rect,
  /** Where an edge slopes or curves: corners and bends of the visible area, clockwise from the top left. */
  finishedOutline: z.array(z.strictObject({ xMm: z.number(), yMm: z.number() })).optional(),
  printedBox: rect,
  filmBox: rect,
  source: z.strictObject({
    page: z.number().int().positive(),
    box: z.enum(PAGE_BOXES),
    /** The printed rectangle on the page, in drawn mm, origin top left of the page box. */
    windowDrawnMm: rect,
  }),
  /** Hash of the panel's content; the code on its border has the first eight digits. */
  shown: sha256,
  /** Finished size ÷ drawn size. */
  scale: z.number().positive(),
  /** Finished size ÷ size in the PDF: production enlarges by this. */
  enlargeBy: z.number().positive(),
  /** Spot ink of the cut contours, where the file has them on a separate layer. */
  contourInk: z.string().optional(),
  /** The file is mirrored: it is printed as it is, and seen through its film. */
  mirrored: z.literal(true).optional(),
  /** For a patch: the panel under it, and the damage that it covers. */
  patch: z.strictObject({ of: z.string(), damageBox: rect }).optional(),
  /** For a panel on glass: its no-film area, and how far its film ends inside the seal. */
  glass: z.strictObject({ areaId: z.string(), name: z.string(), sealMm: z.number() }).optional(),
  /** In a job with several films: the film of the panel. */
  film: ManifestFilm.optional(),
  notes: z.array(z.string()),
});

/** Panels on one stretch of a roll, as one file that is cut apart after printing. */
export const ManifestStrip = z.strictObject({
  file: z.string(),
  /** In print order, from 1. */
  number: z.number().int().positive(),
  /** Name of the roll for people. */
  roll: z.string(),
  /** Where the strip begins on the roll, its lead-in included. */
  fromMm: z.number().nonnegative(),
  /** Across the roll, between its margins. */
  widthMm: z.number().positive(),
  /** Along the roll, true size: feed compensation is up to production. */
  lengthMm: z.number().positive(),
  /** Finished size ÷ size in the PDF. */
  enlargeBy: z.number().positive(),
  panels: z.array(
    z.strictObject({
      label: z.string(),
      panelId: z.string(),
      /** Corner of its film relative to the strip's upper left corner. */
      xMm: z.number(),
      yMm: z.number(),
      /** Turned clockwise by 90°: its top edge is at the right. */
      turned: z.boolean(),
    }),
  ),
});

/** A small piece in the waste beside the panels. */
export const ManifestFill = z.strictObject({
  label: z.string(),
  kind: FillKind,
  /** Absent where the shop already has the file, or for a blank piece. */
  file: z.string().optional(),
  /** Name of the roll for people. */
  roll: z.string(),
  /** Labels of the panels in its band. */
  beside: z.array(z.string()).min(1),
  /** Number of the strip that prints it; absent where it is printed separately. */
  strip: z.number().int().positive().optional(),
  /** Position of its corner from the left edge and the start of the roll. */
  xMm: z.number(),
  yMm: z.number(),
  /** Size on roll before turning. */
  widthMm: z.number().positive(),
  heightMm: z.number().positive(),
  turned: z.boolean(),
  /** For a piece from the archive: the output that it belongs to. */
  of: z
    .strictObject({
      jobId: z.string(),
      jobNumber: z.string(),
      output: z.number().int().positive(),
      label: z.string(),
    })
    .optional(),
});
export type ManifestFill = z.infer<typeof ManifestFill>;

export const Manifest = z.strictObject({
  format: z.literal('panelwright-manifest'),
  version: z.literal(MANIFEST_VERSION),
  schema: z.literal(MANIFEST_SCHEMA),
  /** Status of the verification; only this field changes after the output is written. */
  status: z.enum(VERDICT_WORDS),
  output: OutputMark,
  program: z.strictObject({ name: z.literal('Panelwright'), version: z.string() }),
  /** The compression library: another library or version gives different bytes for the same cut. */
  codec: z.strictObject({ name: z.string(), version: z.string() }),
  job: z.strictObject({
    id: z.string(),
    number: z.string(),
    name: z.string(),
    customer: z.string(),
    date: z.string(),
  }),
  artwork: z.strictObject({ fileName: z.string(), sha256, sizeBytes: z.number().int().positive() }),
  outputSize: OutputSize,
  /** Equal for all outputs of one layout: see `layoutText`. */
  layout: sha256,
  panels: z.array(ManifestPanel),
  /** Present where strips were written as well; production then prints the strips. */
  strips: z.array(ManifestStrip).optional(),
  /** Present where small pieces print in the waste beside the panels. */
  fill: z.array(ManifestFill).optional(),
  files: z.array(ManifestFile),
  sheets: z.array(ManifestSheet),
  acknowledgements: z.array(Acknowledgement),
});

export type Manifest = z.infer<typeof Manifest>;
export type ManifestFile = z.infer<typeof ManifestFile>;
export type ManifestSheet = z.infer<typeof ManifestSheet>;
export type ManifestStrip = z.infer<typeof ManifestStrip>;
export type ManifestPanel = z.infer<typeof ManifestPanel>;

const STATUS = /^ {2}"status": "[^"\n]*"/m;

/** The text of a manifest with another status; the rest is unchanged. */
export const manifestWithStatus = (text: string, status: Manifest['status']): string =>
  text.replace(STATUS, `  "status": "${status}"`);
