/** What the verification of the panels said that the sheets go with. */
export type Verdict = 'not-verified' | 'verified' | 'failed';

/** Sheets go their own ways: each page says whether its panels may be printed and installed. */
export const VERDICT_WORDS: Readonly<Record<Verdict, string>> = {
  'not-verified': 'NOT VERIFIED',
  verified: 'VERIFIED',
  failed: 'NOT RELEASED',
};

/** In the order in which a sheet holds them. */
export const STAMP_WORDS: readonly string[] = Object.values(VERDICT_WORDS);
