/** Names by which a guide left on in artwork is recognized, whichever program saved it. */

/** The one spot ink of all lines of a guide. */
export const GUIDE_INK = 'Panel guide';

const PREFIX = 'Panel guide: ';

/** Contents of a guide, in the order of its layers. */
export const GUIDE_LAYERS = {
  outline: `${PREFIX}outline and bleed`,
  panels: `${PREFIX}panels`,
  seams: `${PREFIX}seams and overlaps`,
  lettering: `${PREFIX}no-lettering zones`,
  noFilm: `${PREFIX}no-film areas`,
  lines: `${PREFIX}body lines`,
  front: `${PREFIX}front`,
  bar: `${PREFIX}scale bar`,
  note: `${PREFIX}what to send back`,
} as const;

export type GuideLayerKind = keyof typeof GUIDE_LAYERS;

export const GUIDE_LAYER_KINDS = Object.keys(GUIDE_LAYERS) as readonly GuideLayerKind[];

export const isGuideLayer = (name: string): boolean =>
  name.trim().toLowerCase().startsWith(PREFIX.trim().toLowerCase());

/** Programs may write the name of an ink in capitals, or with other spaces. */
export const isGuideInk = (name: string): boolean =>
  name.trim().replaceAll(/\s+/g, ' ').toLowerCase() === GUIDE_INK.toLowerCase();
