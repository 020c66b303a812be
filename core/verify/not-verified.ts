import type { OutputVerification } from './output-verification.ts';

/** It is alone so that a list loads no schema. */
export const NOT_VERIFIED: OutputVerification = { state: 'not-verified', sentences: [] };
