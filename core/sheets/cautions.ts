import type { Job, NoFilmKind } from '../job/schema.ts';
import { DEFAULT_HEAT } from '../shop/shelf.ts';
import type { ListEntry } from './blocks.ts';

/**
 * What can go wrong at the vehicle, in the shop's words. Common practice, no source, but for the rule on
 * trailer markings: NHTSA interpretation 15732.ztv, and 49 CFR 393.13. Each point gives way to the film's data
 * sheet, the maker of the vehicle, local law and people licensed for the work.
 */
const GENERAL: readonly string[] = [
  'The data sheets of film and laminate, the maker of the vehicle and local law come before this sheet. Work that needs a license is left to those who have it.',
  'Radar, camera, parking and other assistance sensors stay uncovered, also where the artwork runs across them. If in doubt, ask before laying.',
  'Lamps, reflectors, plates, driving-view glass, fuel and charge flaps with their labels, hazard and weight plates, vents, emergency exits and handles stay clear. Film on glass follows the local rule on light transmission.',
  'Solvents and soaked rags: closed metal container, no flame or spark, fresh air, exposure limits kept.',
  'Heat tools burn skin, crack glass, spoil paint and start fires. Keep them away from vapour and from the fuel filler. Measure the film with an infrared thermometer.',
  'Never cut into paint, glass or seals. Wear cut-resistant gloves with open blades.',
  'Work at height from a platform or trestle before a ladder, on firm ground, with the vehicle chocked.',
];

const TRAILER =
  'Retro-reflective conspicuity tape stays whole: film over part of it breaks the rule for the vehicle (United States: FMVSS 108, 49 CFR 393.13; elsewhere the local rule).';

export function cautionEntries(job: Job): ListEntry[] {
  const hasTape =
    job.vehicle.kind === 'trailer' || job.vehicle.kind === 'box-body' || job.vehicle.kind === 'truck';
  const texts = hasTape ? [...GENERAL, TRAILER] : GENERAL;
  return texts.map((text, index) => ({ mark: String(index + 1), text }));
}

/** What to do at a no-film area. */
export const NO_FILM_ADVICE: Readonly<Record<NoFilmKind, string>> = {
  window: 'cut back to the seal; film on glass only where the order says so',
  'wheel-arch': 'cut back to the edge, leave no loose film near the tyre',
  lamp: 'keep uncovered',
  reflector: 'keep uncovered',
  handle: 'take off or cut round, it must move freely',
  sensor: 'keep uncovered, also by laminate',
  vent: 'keep open',
  'license-plate': 'keep readable',
  'fuel-flap': 'must open, labels stay readable',
  'emergency-exit': 'must open, marking stays readable',
  other: 'keep clear',
};

/** Temperatures are those of the film as it was entered, or else common practice, and then say so. */
export function toolEntries(job: Job): ListEntry[] {
  const film = job.production?.film;
  const heat = film?.heat ?? DEFAULT_HEAT;
  const source = film?.heat
    ? `as entered for ${film.name}`
    : `common practice; the data sheet of ${film?.name ?? job.film.name} wins`;
  const degrees = (celsius: number) =>
    job.displayUnit === 'in' ? `${Math.round(celsius * 1.8 + 32)} °F` : `${celsius} °C`;
  const forming = `Form the film at ${degrees(heat.formFromC)} to ${degrees(heat.formToC)}`;
  const stretch = film ? ` Stretch it by ${film.stretchLimitPercent} % at most.` : '';
  return [
    {
      mark: '•',
      text: 'Tape measure, masking tape, soft squeegee, snap-off knife with fresh blades, gloves',
    },
    { mark: '•', text: 'Heat gun and infrared thermometer, measured on the film and not on the tool' },
    { mark: '•', text: `${forming}; set it afterwards at ${degrees(heat.setC)} (${source}).${stretch}` },
  ];
}
