/** What the customer checks, reads back and signs: all sides with sizes, bare areas, lettering, colors, film. */
import { type Item, type RasterPicture, type Stroke, THIN } from '../drawing/drawing.ts';
import type { FontMetrics } from '../drawing/font-library.ts';
import { linesHeight, styleOf, textLine, textLines } from '../drawing/text-block.ts';
import { fingerprintText } from '../job/fingerprint.ts';
import { hasSeveralFilms, jobFilms } from '../job/job-films.ts';
import type { Job, Side } from '../job/schema.ts';
import { sheetPaper } from '../job/sheet-paper.ts';
import { vehicleText } from '../job/vehicles.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { listText } from '../measure/list-text.ts';
import type { Rect } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import { dateText } from '../shop/date-text.ts';
import { boldStyle, type Cell, listBlock, signOffBlock, tableBlock } from './blocks.ts';
import { columnPages } from './column-pages.ts';
import { fewestPages, pagesFilled, SPACINGS, spacedContext } from './fewest-pages.ts';
import { blockWhole, type FlowBlock, flowed } from './flow.ts';
import { bodyRect, type Sheet } from './page-frame.ts';
import { seamStrokes } from './seam-symbols.ts';
import { type SheetContext, type SheetOptions, sheetContext } from './sheet-context.ts';
import { sheetLengthWithUnit } from './sheet-length.ts';
import { largestScale, scaleDesignation } from './sheet-scale.ts';
import { SHEET_SIZES, type SheetSizeName } from './sheet-size.ts';
import { bareSideItems } from './side-picture.ts';
import { sheetsWithTexts } from './text-pages.ts';

export const CUSTOMER_PROOF = 'Customer proof';

/** The lettering of one side, from top to bottom. */
export interface ReadBack {
  readonly sideId: string;
  /** Lines with figures, web and mail addresses, legal markings. */
  readonly figures: readonly string[];
  readonly words: readonly string[];
  /** Number of places that look like lettering but hold no characters: outlines and pixels. */
  readonly unread: number;
  /** Whether the page was searched for these. */
  readonly isLookedFor: boolean;
}

export interface ProofFacts {
  /** Names of the spot inks, as in the artwork. */
  readonly spots: readonly string[];
  readonly readBack: readonly ReadBack[];
}

export interface ProofOptions extends SheetOptions {
  readonly fonts: FontMetrics;
  readonly sheet?: SheetSizeName;
  /** Absent: the job has no artwork yet. */
  readonly facts?: ProofFacts | undefined;
  readonly artworkPicture?: (side: Side) => RasterPicture | undefined;
}

/** Room for dimension lines to the left of and below a picture. */
const DIMENSION_MM: Mm = 9;
const CAPTION_GAP_MM: Mm = 2;
const COLUMNS = 2;
const TAG = 'proof side';

export function customerProof(
  job: Job,
  layouts: readonly SideLayout[],
  options: ProofOptions,
): readonly Sheet[] {
  const paper = SHEET_SIZES[options.sheet ?? sheetPaper(job, 'proof')];
  const context = sheetContext(job, options.fonts, paper, options);
  const body = bodyRect(context.size);
  const style = boldStyle(context);
  const room = {
    width: body.width - DIMENSION_MM - 1,
    height: body.height - DIMENSION_MM - linesHeight(1, style.sizeMm) - CAPTION_GAP_MM,
  };
  const oneTo = largestScale((scale) =>
    layouts.every(
      ({ outline }) => outline.width / scale <= room.width && outline.height / scale <= room.height,
    ),
  );
  const title = `${CUSTOMER_PROOF} · ${job.number}`;
  const sides = columnPages(context, title, 1);
  if (layouts.length > 0) {
    flowed(
      layouts.map((layout) => sideBlock(context, layout, oneTo, options.artworkPicture?.(layout.side))),
      sides.next,
    );
  }
  const pages = sides.pages.map((page) => ({
    ...page,
    head: { ...page.head, scale: scaleDesignation(oneTo) },
  }));
  const words = fewestPages(
    SPACINGS.map((spacing) => () => {
      const spaced = spacedContext(context, spacing);
      const blocks = [
        subjectTable(spaced),
        ...layouts.flatMap((layout) => readBackBlocks(spaced, layout, options.facts)),
        listBlock(spaced, 'What stays free of film', freeEntries(layouts)),
        colorTable(spaced, options.facts),
        filmTable(spaced),
        listBlock(spaced, 'Before you sign', BEFORE_SIGNING),
        blockWhole(
          signOffBlock(spaced, 'For the customer', ['Approved for print', 'Changes wanted, as noted']),
        ),
      ];
      return pagesFilled(spaced, blocks, columnPages(spaced, `${title} · read back and sign`, COLUMNS));
    }),
  );
  return sheetsWithTexts(context, CUSTOMER_PROOF, [...pages, ...words]);
}

/** Common practice, no source. */
const BEFORE_SIGNING = [
  { mark: '1', text: 'Read every word and every number aloud, letter by letter, against your own records.' },
  {
    mark: '2',
    text: 'Look at each side: is it the right vehicle, the right way around, with all of its lettering?',
  },
  {
    mark: '3',
    text: 'Screens and office printers show colors in their own way. Judge color by a color target that is printed on the film, never by this sheet.',
  },
  { mark: '4', text: 'What you sign is printed as it is. A change after that is a new proof.' },
];

function sideBlock(
  context: SheetContext,
  layout: SideLayout,
  oneTo: number,
  artwork: RasterPicture | undefined,
): FlowBlock {
  const { side, outline } = layout;
  const style = boldStyle(context);
  const caption = `${side.code} ${side.name}`;
  const captionMm = linesHeight(1, style.sizeMm) + CAPTION_GAP_MM;
  const [width, height] = [outline.width / oneTo, outline.height / oneTo];
  return blockWhole(() => [
    {
      heightMm: captionMm + height + DIMENSION_MM,
      draw: (x, y): Item[] => {
        const picture: Rect = { x: x + DIMENSION_MM, y: y + captionMm, width, height };
        return [
          ...textLines(context.fonts, [caption], style, { at: { x: picture.x, y }, tag: TAG }),
          ...bareSideItems(layout, picture, oneTo, artwork),
          ...(context.job.sheets?.proof?.seams === true ? seamLineItems(layout, picture, oneTo) : []),
          ...dimensionItems(context, outline, picture),
        ];
      },
    },
  ]);
}

const SEAM_STROKES: readonly Stroke[] = [
  { widthMm: 0.5, black: 0 },
  { widthMm: 0.25, black: 1, dashMm: [2, 1] },
];

function seamLineItems({ seams, outline }: SideLayout, picture: Rect, oneTo: number): Item[] {
  return seams.flatMap((seam) =>
    seamStrokes(seam, outline, picture, oneTo).flatMap(({ points }) =>
      SEAM_STROKES.map(
        (stroke): Item => ({ kind: 'polygon', tag: 'proof seam', points, isOpen: true, stroke }),
      ),
    ),
  );
}

/** Width below the picture, height left of it. */
function dimensionItems({ fonts, job }: SheetContext, outline: Rect, picture: Rect): Item[] {
  const style = styleOf('regular', 3.6);
  const [below, left] = [picture.y + picture.height + 3.5, picture.x - 3.5];
  const [right, bottom] = [picture.x + picture.width, picture.y + picture.height];
  const line = (x1: Mm, y1: Mm, x2: Mm, y2: Mm): Item => ({
    kind: 'line',
    tag: TAG,
    from: { x: x1, y: y1 },
    to: { x: x2, y: y2 },
    stroke: THIN,
  });
  const tick = 1.2;
  const text = (mm: Mm) => sheetLengthWithUnit(mm, job.displayUnit);
  return [
    line(picture.x, below, right, below),
    line(picture.x, below - tick, picture.x, below + tick),
    line(right, below - tick, right, below + tick),
    line(left, picture.y, left, bottom),
    line(left - tick, picture.y, left + tick, picture.y),
    line(left - tick, bottom, left + tick, bottom),
    textLine(fonts, text(outline.width), style, {
      at: { x: (picture.x + right) / 2, y: below + 3.8 },
      anchor: 'middle',
      tag: TAG,
    }),
    textLine(fonts, text(outline.height), style, {
      at: { x: left - 1.2, y: (picture.y + bottom) / 2 },
      anchor: 'middle',
      turn: 90,
      tag: TAG,
    }),
  ];
}

const PAIR = [
  { head: '', share: 0.3 },
  { head: '', share: 0.7 },
];

function subjectTable(context: SheetContext): FlowBlock {
  const { job, revision } = context;
  const strong = boldStyle(context);
  const rows: Cell[][] = [
    [{ text: 'Customer' }, { text: job.customer, style: strong }],
    [{ text: 'Job' }, { text: `${job.number}, ${job.name}` }],
    [{ text: 'Vehicle' }, { text: vehicleText(job) }],
    [{ text: 'Revision' }, { text: String(job.proofRevision ?? 1), style: strong }],
    [{ text: 'Artwork' }, { text: job.artwork?.fileName ?? 'none yet: there is nothing to sign for' }],
    ...(job.artwork
      ? [[{ text: 'Fingerprint' }, { text: fingerprintText(job.artwork.sha256), style: strong }]]
      : []),
    ...(job.artwork?.files ?? []).map(({ fileName, sha256 }, index) => [
      { text: index === 0 ? 'Put together from' : '' },
      { text: `${fileName}, ${fingerprintText(sha256)}` },
    ]),
    ...(revision ? [[{ text: 'Panel layout' }, { text: revision }]] : []),
    [{ text: 'Date' }, { text: dateText(job.date, job.dateOrder) }],
  ];
  return tableBlock(context, 'What is proofed', PAIR, rows);
}

const BLANK = '______';

function readBackBlocks(
  context: SheetContext,
  { side }: SideLayout,
  facts: ProofFacts | undefined,
): FlowBlock[] {
  const found = facts?.readBack.find(({ sideId }) => sideId === side.id);
  if (!found) return [];
  const { figures, words, unread, isLookedFor } = found;
  const strong = boldStyle(context);
  const rows: Cell[][] = [
    ...figures.map((text): Cell[] => [{ text, style: strong }, { text: BLANK }]),
    ...words.map((text): Cell[] => [{ text }, { text: BLANK }]),
  ];
  const remarks = [
    unread > 0 &&
      `${unread === 1 ? 'One place on this side looks' : `${unread} places on this side look`} like lettering that is outlines or pixels: it cannot be read here. Read it in the picture.`,
    !isLookedFor && 'Lettering that is outlines or pixels was not looked for: read the picture.',
    rows.length === 0 && unread === 0 && isLookedFor && 'No lettering was found on this side.',
  ];
  const notes = remarks.flatMap((text) => (text ? [{ mark: '•', text }] : []));
  return [
    ...(rows.length > 0
      ? [
          tableBlock(
            context,
            `Read back: ${side.code} ${side.name}`,
            [
              { head: 'As the artwork has it', share: 0.82 },
              { head: 'Right', share: 0.18 },
            ],
            rows,
          ),
        ]
      : []),
    ...(notes.length > 0
      ? [
          listBlock(
            context,
            rows.length > 0 ? `Also on ${side.code}` : `Read back: ${side.code} ${side.name}`,
            notes,
          ),
        ]
      : []),
  ];
}

const freeEntries = (layouts: readonly SideLayout[]) =>
  layouts.map(({ side }) => ({
    mark: side.code,
    text: side.noFilmAreas.length === 0 ? 'nothing' : listText(side.noFilmAreas.map(({ name }) => name)),
  }));

function colorTable(context: SheetContext, facts: ProofFacts | undefined): FlowBlock {
  const spots = facts?.spots ?? [];
  const rows: Cell[][] =
    spots.length === 0
      ? [
          [
            { text: 'Inks' },
            { text: facts ? 'no spot inks: all colors are made of the process inks' : 'not known yet' },
          ],
        ]
      : spots.map((name): Cell[] => [{ text: 'Spot ink' }, { text: name, style: boldStyle(context) }]);
  return tableBlock(context, 'Colors, by their names in the artwork', PAIR, rows);
}

/** Many film names include the finish. */
const withFinish = ({
  name,
  finish,
}: {
  readonly name: string;
  readonly finish?: string | undefined;
}): string => (!finish || name.toLowerCase().includes(finish.toLowerCase()) ? name : `${name}, ${finish}`);

function filmTable(context: SheetContext): FlowBlock {
  const { job } = context;
  const rows = jobFilms(job).flatMap(({ letter, film, laminate }): Cell[][] => {
    const of = hasSeveralFilms(job) ? ` ${letter}` : '';
    const strong = boldStyle(context);
    return [
      [{ text: `Film${of}` }, { text: withFinish(film), style: strong }],
      [{ text: `Laminate${of}` }, { text: laminate ? withFinish(laminate) : 'none' }],
    ];
  });
  return tableBlock(context, 'Film and finish', PAIR, rows);
}
