/** The first digits of an artwork's SHA-256 in groups of four, for comparing two proofs: `3f2a 91c0 77be d410`. */
export const fingerprintText = (sha256: string): string =>
  [0, 4, 8, 12].map((at) => sha256.slice(at, at + 4)).join(' ');
