import type { OutputVerification } from './output-verification.ts';

/** In a separate file so that a list need not load the schema. */
export const NOT_VERIFIED: OutputVerification = { state: 'not-verified', sentences: [] };
