import type { NoFilmKind } from './schema.ts';

/** The action at a no-film area, as an instruction, and the condition that must hold afterward. */
export const NO_FILM_ACTS: Readonly<Record<NoFilmKind, { readonly act: string; readonly detail?: string }>> =
  {
    window: { act: 'CUT BACK TO SEAL', detail: 'film on glass only where the order says so' },
    'wheel-arch': { act: 'CUT OUT', detail: 'to the edge, no loose film near the tire' },
    lamp: { act: 'LEAVE BARE' },
    reflector: { act: 'LEAVE BARE' },
    handle: { act: 'CUT OUT', detail: 'it must move freely' },
    sensor: { act: 'LEAVE BARE', detail: 'no film and no laminate' },
    vent: { act: 'CUT OUT', detail: 'it must stay open' },
    'license-plate': { act: 'LEAVE BARE', detail: 'it must stay readable' },
    'fuel-flap': { act: 'CUT OUT', detail: 'it must open, labels stay readable' },
    'emergency-exit': { act: 'LEAVE BARE', detail: 'it must open, its marking stays readable' },
    'dot-tape': { act: 'LEAVE BARE', detail: 'DOT reflective tape: no film over any part of it' },
    'legal-marking': { act: 'LEAVE BARE', detail: 'it must stay readable' },
    other: { act: 'LEAVE BARE' },
  };
