/** Verification status of the panels that the sheets belong to. */
export type Verdict = 'not-verified' | 'verified' | 'failed';

/** Sheets get separated, so each page states whether its panels may be printed and installed. */
export const VERDICT_WORDS: Readonly<Record<Verdict, string>> = {
  'not-verified': 'NOT VERIFIED',
  verified: 'VERIFIED',
  failed: 'NOT RELEASED',
};

/** In the order that a sheet stores them. */
export const STAMP_WORDS: readonly string[] = Object.values(VERDICT_WORDS);
