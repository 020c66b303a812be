/**
 * The manifest of an output: what was written, from what, at which size, so that any other program of
 * the shop can tell without opening a PDF. Lengths are finished mm unless the name says drawn; rectangles of
 * a panel stand in finished space of its side, origin top left of the side.
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

/** Without a hash: sheets carry the word of the verification, and are written again when it changes. */
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
  /** What is seen of the panel when it is installed, or the smallest rectangle that holds that. */
  finishedBox: rect,
  /** Where an edge slopes or curves: the corners and bends of what is seen, clockwise from the top left. */
  finishedOutline: z.array(z.strictObject({ xMm: z.number(), yMm: z.number() })).optional(),
  printedBox: rect,
  filmBox: rect,
  source: z.strictObject({
    page: z.number().int().positive(),
    box: z.enum(PAGE_BOXES),
    /** The printed rectangle on the page, in drawn mm, origin top left of the page box. */
    windowDrawnMm: rect,
  }),
  /** Hash of what the panel shows; the code on its border has the first eight digits. */
  shown: sha256,
  /** Finished size ÷ drawn size. */
  scale: z.number().positive(),
  /** Finished size ÷ size in the PDF: production enlarges by this. */
  enlargeBy: z.number().positive(),
  /** The spot ink of the cut contours that the file has on a layer of its own; absent: it has none. */
  contourInk: z.string().optional(),
  /** The file runs from right to left: it is printed as it is, and looked at through its film. */
  mirrored: z.literal(true).optional(),
  /** Of a patch: the panel under it, and the damage that it covers. */
  patch: z.strictObject({ of: z.string(), damageBox: rect }).optional(),
  /** Of a panel on the glass of a window: its no-film area, and how far its film ends inside the seal. */
  glass: z.strictObject({ areaId: z.string(), name: z.string(), sealMm: z.number() }).optional(),
  /** Of a job with several films: what the panel is printed on. */
  film: ManifestFilm.optional(),
  notes: z.array(z.string()),
});

/** Panels that lie on one stretch of a roll, as one file that is cut apart after printing. */
export const ManifestStrip = z.strictObject({
  file: z.string(),
  /** In print order, from 1. */
  number: z.number().int().positive(),
  /** The roll as people call it. */
  roll: z.string(),
  /** Where on the roll the strip begins, its lead-in included. */
  fromMm: z.number().nonnegative(),
  /** Across the roll, between its margins. */
  widthMm: z.number().positive(),
  /** Along the roll, true size: feed compensation is left to production. */
  lengthMm: z.number().positive(),
  /** Finished size ÷ size in the PDF. */
  enlargeBy: z.number().positive(),
  panels: z.array(
    z.strictObject({
      label: z.string(),
      panelId: z.string(),
      /** Its film's corner from the strip's upper left one. */
      xMm: z.number(),
      yMm: z.number(),
      /** By 90° clockwise: its top edge lies to the right. */
      turned: z.boolean(),
    }),
  ),
});

/** A small piece in the waste beside the panels. */
export const ManifestFill = z.strictObject({
  label: z.string(),
  kind: FillKind,
  /** Absent where the shop has the file, or where it is a blank piece. */
  file: z.string().optional(),
  /** The roll as people call it. */
  roll: z.string(),
  /** Labels of the panels in its band. */
  beside: z.array(z.string()).min(1),
  /** Number of the strip that prints it; absent where it prints by itself. */
  strip: z.number().int().positive().optional(),
  /** Of its corner: from the left edge of the roll and from its start. */
  xMm: z.number(),
  yMm: z.number(),
  /** Size on roll before it is turned. */
  widthMm: z.number().positive(),
  heightMm: z.number().positive(),
  turned: z.boolean(),
  /** Of a piece from the archive: the output that waits for it. */
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
  /** What the verification said; this word alone changes after the output was written. */
  status: z.enum(VERDICT_WORDS),
  output: OutputMark,
  program: z.strictObject({ name: z.literal('Panelwright'), version: z.string() }),
  /** What packed the panels: with another codec, or another version, the same cut has other bytes. */
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
  /** Outputs of one layout have the same: see `layoutText`. */
  layout: sha256,
  panels: z.array(ManifestPanel),
  /** Present where the panels were also written as strips, which are what is printed then. */
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

/** The text of a manifest with another status; all else stays as it is. */
export const manifestWithStatus = (text: string, status: Manifest['status']): string =>
  text.replace(STATUS, `  "status": "${status}"`);
