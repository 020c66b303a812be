import { describe, expect, it } from 'vitest';
import { type PairingOrder, pairingFindings } from '../../../core/findings/pairing.ts';
import { PAIRING_CODES } from '../../../core/shop/override.ts';
import { type ShelfFilm, ShelfItem, type ShelfLaminate } from '../../../core/shop/shelf.ts';

const FILM: ShelfFilm = {
  id: 'film-1',
  use: 'film',
  name: 'White cast 50',
  kind: 'cast',
  finish: 'gloss',
  thicknessUm: 50,
  adhesive: 'solvent acrylic',
  serviceYears: 8,
  widthMm: 1524,
  lengthMm: 45_720,
  pricePerM2: 9.4,
  lotNumber: 'B 71',
  stretchLimitPercent: 30,
};
const LAMINATE: ShelfLaminate = {
  id: 'laminate-1',
  use: 'laminate',
  name: 'Clear cast 35',
  kind: 'cast',
  finish: 'Satin',
  thicknessUm: 35,
  adhesive: 'Solvent acrylic',
  serviceYears: 7,
  widthMm: 1540,
  lengthMm: 50_000,
  pricePerM2: 7.1,
  lotNumber: '',
};

const said = (changes: Partial<PairingOrder> = {}): string[] =>
  pairingFindings({
    film: FILM,
    laminate: LAMINATE,
    hasDifficultGround: true,
    promisedYears: 5,
    orderedFinish: 'satin',
    ...changes,
  }).map((finding) => `${finding.severity} ${finding.code}`);

// All pairing rules are common practice, no source.
describe('film and laminate', () => {
  it('PR3 cast with cast suits recesses and curves', () => {
    expect(said()).toEqual([]);
  });

  it('PR3 a calendered laminate on cast film stops, and cannot go over recesses', () => {
    const laminate: ShelfLaminate = { ...LAMINATE, kind: 'calendered-polymeric' };
    expect(said({ laminate, hasDifficultGround: false })).toEqual(['stop pair-calendered-on-cast']);
    expect(said({ laminate })).toEqual(['stop pair-calendered-on-cast', 'stop pair-difficult-ground']);
  });

  it('PR3 calendered goes with calendered of its own kind, on flat sides', () => {
    const film: ShelfFilm = { ...FILM, kind: 'calendered-polymeric' };
    const flat = { film, hasDifficultGround: false };
    expect(said({ ...flat, laminate: { ...LAMINATE, kind: 'calendered-polymeric' } })).toEqual([]);
    expect(said({ ...flat, laminate: LAMINATE })).toEqual(['warn pair-cast-on-calendered']);
    expect(said({ ...flat, laminate: { ...LAMINATE, kind: 'calendered-monomeric' } })).toEqual([
      'warn pair-monomeric-on-polymeric',
    ]);
    expect(said({ film, laminate: undefined, orderedFinish: '' })).toEqual([
      'warn pair-no-laminate',
      'stop pair-difficult-ground',
    ]);
  });

  it('PR4 the laminate is at least as wide as the film', () => {
    expect(said({ laminate: { ...LAMINATE, widthMm: 1524 } })).toEqual([]);
    expect(said({ laminate: { ...LAMINATE, widthMm: 1523 } })).toEqual(['stop pair-laminate-narrow']);
  });

  it('PR4 film and laminate last as long as was promised', () => {
    expect(said({ promisedYears: 7 })).toEqual([]);
    expect(said({ promisedYears: 8 })).toEqual(['stop pair-service-life']);
    expect(said({ promisedYears: 9 })).toEqual(['stop pair-service-life', 'stop pair-service-life']);
    expect(said({ promisedYears: undefined })).toEqual([]);
  });

  it('PR4 the outermost layer has the finish as ordered', () => {
    expect(said({ orderedFinish: 'gloss' })).toEqual(['warn pair-finish']);
    expect(said({ orderedFinish: ' SATIN ' })).toEqual([]);
    expect(said({ orderedFinish: '' })).toEqual([]);
    expect(said({ laminate: undefined, orderedFinish: 'gloss' })).toEqual(['warn pair-no-laminate']);
  });

  it('PR4 adhesives and stretch', () => {
    expect(said({ laminate: { ...LAMINATE, adhesive: 'water acrylic' } })).toEqual(['warn pair-adhesive']);
    expect(said({ laminate: { ...LAMINATE, adhesive: '' } })).toEqual([]);
    expect(said({ stretchPercent: 30 })).toEqual([]);
    expect(said({ stretchPercent: 31 })).toEqual(['stop pair-stretch']);
  });

  it('PR5 every rule says that the data sheet wins, and a note overrides just that rule', () => {
    const order: PairingOrder = {
      film: FILM,
      laminate: { ...LAMINATE, kind: 'calendered-monomeric', widthMm: 1370 },
      hasDifficultGround: false,
      promisedYears: undefined,
      orderedFinish: '',
    };
    const findings = pairingFindings(order);
    expect(findings.map((finding) => finding.code)).toEqual([
      'pair-calendered-on-cast',
      'pair-laminate-narrow',
    ]);
    for (const finding of findings) {
      expect(finding.remedy).toContain("The film's data sheet wins");
      expect(PAIRING_CODES).toContain(finding.code);
    }
    const overridden = pairingFindings(order, [
      { code: 'pair-laminate-narrow', by: 'M. Okafor', note: 'Prints are 1,300 mm wide at most.' },
    ]);
    expect(overridden.map((finding) => finding.severity)).toEqual(['stop', 'note']);
    expect(overridden[1]!.message).toMatch(/Overridden by M\. Okafor: Prints are 1,300 mm wide at most\.$/);
  });

  it('the shelf takes what a data sheet says and refuses what cannot be', () => {
    const heated = { ...FILM, heat: { formFromC: 70, formToC: 90, setC: 96 } };
    expect(ShelfItem.parse(heated)).toEqual(heated);
    expect(ShelfItem.parse(LAMINATE)).toEqual(LAMINATE);
    expect(ShelfItem.safeParse({ ...FILM, thicknessUm: 0 }).success).toBe(false);
    expect(ShelfItem.safeParse({ ...FILM, kind: 'calendered' }).success).toBe(false);
    expect(ShelfItem.safeParse({ ...LAMINATE, stretchLimitPercent: 4 }).success).toBe(false);
  });
});
