/** A film or laminate as it is being typed from its data sheet: text until every figure is there. */
import { decimalFromText } from '../../core/measure/decimal-from-text.ts';
import { figureLabel, figureShown, figureStored } from '../../core/measure/figure-units.ts';
import { lengthFromText } from '../../core/measure/length-from-text.ts';
import { decimalText, typedLengthText } from '../../core/measure/length-text.ts';
import { rollLengthText } from '../../core/measure/long-length.ts';
import { FILM_KINDS, type FilmKind, type ShelfFilm, ShelfItem } from '../../core/shop/shelf.ts';

export type MaterialUse = ShelfItem['use'];

/** What is typed, field by field. Empty where nothing is known yet: no figure of a data sheet is made up. */
export interface MaterialDraft {
  readonly name: string;
  readonly kind: FilmKind;
  readonly finish: string;
  readonly adhesive: string;
  readonly lotNumber: string;
  readonly thicknessUm: string;
  readonly serviceYears: string;
  readonly widthMm: string;
  readonly lengthMm: string;
  readonly pricePerM2: string;
  readonly stretchLimitPercent: string;
  /** Perforated film, or a laminate that is optically clear. */
  readonly isForGlass: boolean;
}

export type MaterialField = Exclude<keyof MaterialDraft, 'isForGlass'>;

/** Figures that are kept metric and shown in the units of the job. */
const FIGURES = { thickness: 'µm', price: 'per m²' } as const;

export interface MaterialFieldKind {
  readonly key: Exclude<MaterialField, 'kind'>;
  readonly label: string;
  readonly is: 'text' | 'number' | 'length' | keyof typeof FIGURES;
  readonly isFilmOnly?: true;
}

export const MATERIAL_FIELDS: readonly MaterialFieldKind[] = [
  { key: 'name', label: 'Name', is: 'text' },
  { key: 'finish', label: 'Finish', is: 'text' },
  { key: 'adhesive', label: 'Adhesive', is: 'text' },
  { key: 'lotNumber', label: 'Lot number', is: 'text' },
  { key: 'thicknessUm', label: 'Thickness, µm', is: 'thickness' },
  { key: 'serviceYears', label: 'Service life, years', is: 'number' },
  {
    key: 'stretchLimitPercent',
    label: 'Most stretch when installed, % longer',
    is: 'number',
    isFilmOnly: true,
  },
  { key: 'widthMm', label: 'Width', is: 'length' },
  { key: 'lengthMm', label: 'Length of a full roll', is: 'length' },
  { key: 'pricePerM2', label: 'Price a m²', is: 'price' },
];

export const draftEmpty = (known: Partial<MaterialDraft>): MaterialDraft => ({
  name: '',
  kind: 'cast',
  finish: '',
  adhesive: '',
  lotNumber: '',
  thicknessUm: '',
  serviceYears: '',
  widthMm: '',
  lengthMm: '',
  pricePerM2: '',
  stretchLimitPercent: '',
  isForGlass: false,
  ...known,
});

export function draftFromMaterial(item: ShelfItem, unit: 'mm' | 'in'): MaterialDraft {
  const number = (value: number) => decimalText(value, 4);
  return draftEmpty({
    name: item.name,
    kind: item.kind,
    finish: item.finish,
    adhesive: item.adhesive,
    lotNumber: item.lotNumber,
    thicknessUm: number(figureShown(item.thicknessUm, 'µm', unit)),
    serviceYears: number(item.serviceYears),
    widthMm: typedLengthText(item.widthMm, unit),
    lengthMm: rollLengthText(item.lengthMm, unit),
    pricePerM2: number(figureShown(item.pricePerM2, 'per m²', unit)),
    ...(item.use === 'film' && { stretchLimitPercent: number(item.stretchLimitPercent) }),
    isForGlass: (item.use === 'film' ? item.perforated : item.opticallyClear) === true,
  });
}

export type DraftReading =
  | { readonly ok: true; readonly item: ShelfItem }
  | { readonly ok: false; readonly problems: Readonly<Partial<Record<MaterialField, string>>> };

/** The material that was typed, or a sentence beside every field that cannot be used. */
export function materialFromDraft(
  draft: MaterialDraft,
  given: {
    readonly id: string;
    readonly use: MaterialUse;
    readonly unit: 'mm' | 'in';
    /** What is being changed: where its text was left alone, its very figure is kept. */
    readonly was?: ShelfItem | undefined;
  },
): DraftReading {
  const problems: Partial<Record<MaterialField, string>> = {};
  const before = given.was && draftFromMaterial(given.was, given.unit);
  const values: Record<string, unknown> = {
    id: given.id,
    use: given.use,
    kind: draft.kind,
    ...(draft.isForGlass && { [given.use === 'film' ? 'perforated' : 'opticallyClear']: true }),
    ...(given.was?.use === 'film' && untyped(given.was)),
  };
  for (const { key, label, is, isFilmOnly } of MATERIAL_FIELDS) {
    if (isFilmOnly && given.use !== 'film') continue;
    const text = draft[key].trim();
    if (before && text === before[key].trim()) values[key] = (given.was as Record<string, unknown>)[key];
    else if (is === 'text') values[key] = text;
    else if (text === '') problems[key] = `${figureLabel(label, given.unit)} is missing.`;
    else if (is === 'length') {
      const length = lengthFromText(text, given.unit, { leastMm: 1, greatestMm: 1_000_000 });
      if (length.ok) values[key] = length.value;
      else problems[key] = length.problem.message;
    } else {
      const reading = decimalFromText(text, false);
      if (reading.kind === 'number')
        values[key] = is === 'number' ? reading.value : figureStored(reading.value, FIGURES[is], given.unit);
      else problems[key] = `“${text.slice(0, 40)}” is not a number.`;
    }
  }
  if (String(values.name) === '') problems.name = 'Name must not be empty.';
  if (Object.keys(problems).length > 0) return { ok: false, problems };
  const read = ShelfItem.safeParse(values);
  if (read.success) return { ok: true, item: read.data };
  for (const { path } of read.error.issues) {
    const field = MATERIAL_FIELDS.find(({ key }) => key === path[0]);
    if (field) problems[field.key] = `${field.label} is out of range.`;
  }
  return { ok: false, problems };
}

/** What this form does not ask for stays as it was. */
const untyped = ({ base, heat }: ShelfFilm): Pick<ShelfFilm, 'base' | 'heat'> => ({
  ...(base && { base }),
  ...(heat && { heat }),
});

export const FILM_KIND_OPTIONS: readonly { readonly value: FilmKind; readonly label: string }[] =
  FILM_KINDS.map((kind) => ({
    value: kind,
    label: {
      cast: 'Cast',
      'calendered-polymeric': 'Calendered, polymeric',
      'calendered-monomeric': 'Calendered, monomeric',
    }[kind],
  }));
