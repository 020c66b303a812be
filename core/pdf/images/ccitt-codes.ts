/**
 * The codes of ITU-T T.4 (tables 2, 3a and 3b) and T.6 (table 1), each as its bits in text.
 * Runs of 0 to 63 have a terminating code; longer ones make-up codes of multiples of 64 before it.
 */
const WHITE_TERMINATING = `
00110101 000111 0111 1000 1011 1100 1110 1111 10011 10100 00111 01000 001000 000011 110100 110101
101010 101011 0100111 0001100 0001000 0010111 0000011 0000100 0101000 0101011 0010011 0100100 0011000
00000010 00000011 00011010 00011011 00010010 00010011 00010100 00010101 00010110 00010111 00101000
00101001 00101010 00101011 00101100 00101101 00000100 00000101 00001010 00001011 01010010 01010011
01010100 01010101 00100100 00100101 01011000 01011001 01011010 01011011 01001010 01001011 00110010
00110011 00110100`;

const WHITE_MAKE_UP = `
11011 10010 010111 0110111 00110110 00110111 01100100 01100101 01101000 01100111 011001100 011001101
011010010 011010011 011010100 011010101 011010110 011010111 011011000 011011001 011011010 011011011
010011000 010011001 010011010 011000 010011011`;

const BLACK_TERMINATING = `
0000110111 010 11 10 011 0011 0010 00011 000101 000100 0000100 0000101 0000111 00000100 00000111
000011000 0000010111 0000011000 0000001000 00001100111 00001101000 00001101100 00000110111 00000101000
00000010111 00000011000 000011001010 000011001011 000011001100 000011001101 000001101000 000001101001
000001101010 000001101011 000011010010 000011010011 000011010100 000011010101 000011010110 000011010111
000001101100 000001101101 000011011010 000011011011 000001010100 000001010101 000001010110 000001010111
000001100100 000001100101 000001010010 000001010011 000000100100 000000110111 000000111000 000000100111
000000101000 000001011000 000001011001 000000101011 000000101100 000001011010 000001100110 000001100111`;

const BLACK_MAKE_UP = `
0000001111 000011001000 000011001001 000001011011 000000110011 000000110100 000000110101 0000001101100
0000001101101 0000001001010 0000001001011 0000001001100 0000001001101 0000001110010 0000001110011
0000001110100 0000001110101 0000001110110 0000001110111 0000001010010 0000001010011 0000001010100
0000001010101 0000001011010 0000001011011 0000001100100 0000001100101`;

/** Runs of 1,792 to 2,560, for both colors. */
const LONG_MAKE_UP = `
00000001000 00000001100 00000001101 000000010010 000000010011 000000010100 000000010101 000000010110
000000010111 000000011100 000000011101 000000011110 000000011111`;

export interface BitCode {
  readonly bits: number;
  readonly length: number;
}

const codesOf = (text: string): BitCode[] =>
  text
    .trim()
    .split(/\s+/)
    .map((bits) => ({ bits: Number.parseInt(bits, 2), length: bits.length }));

/** Codes by run length: indexes 0 to 63, then every multiple of 64 up to 2,560. */
export interface RunCodes {
  readonly terminating: readonly BitCode[];
  /** `makeUp[n]` stands for a run of 64 × n; index 0 is unused. */
  readonly makeUp: readonly BitCode[];
}

const NONE: BitCode = { bits: 0, length: 0 };
const runCodes = (terminating: string, makeUp: string): RunCodes => ({
  terminating: codesOf(terminating),
  makeUp: [NONE, ...codesOf(makeUp), ...codesOf(LONG_MAKE_UP)],
});

export const WHITE_RUNS = runCodes(WHITE_TERMINATING, WHITE_MAKE_UP);
export const BLACK_RUNS = runCodes(BLACK_TERMINATING, BLACK_MAKE_UP);
export const LONGEST_MAKE_UP = 2560;

export const PASS: BitCode = { bits: 0b0001, length: 4 };
export const HORIZONTAL: BitCode = { bits: 0b001, length: 3 };
/** Vertical modes by a1 − b1, from −3 (three to the left) to 3. */
export const VERTICAL: readonly BitCode[] = codesOf('0000010 000010 010 1 011 000011 0000011');
export const VERTICAL_REACH = 3;
export const END_OF_LINE: BitCode = { bits: 1, length: 12 };

/** What a lookup by the next 13 bits finds: code length in the low 4 bits, above it the run length. 0: no code. */
export const RUN_LOOKUP_BITS = 13;

export function runLookup({ terminating, makeUp }: RunCodes): Uint16Array {
  const table = new Uint16Array(1 << RUN_LOOKUP_BITS);
  const put = ({ bits, length }: BitCode, run: number): void => {
    const shift = RUN_LOOKUP_BITS - length;
    table.fill((run << 4) | length, bits << shift, (bits + 1) << shift);
  };
  terminating.forEach(put);
  makeUp.forEach((code, n) => {
    if (n > 0) put(code, 64 * n);
  });
  return table;
}

export const MODE_LOOKUP_BITS = 7;
export const MODE_PASS = 8;
export const MODE_HORIZONTAL = 9;

/** By the next 7 bits: code length in the low 4 bits, above it a1 − b1 + 4, or one of the other modes. */
export function modeLookup(): Uint8Array {
  const table = new Uint8Array(1 << MODE_LOOKUP_BITS);
  const put = ({ bits, length }: BitCode, mode: number): void => {
    const shift = MODE_LOOKUP_BITS - length;
    table.fill((mode << 4) | length, bits << shift, (bits + 1) << shift);
  };
  put(PASS, MODE_PASS);
  put(HORIZONTAL, MODE_HORIZONTAL);
  VERTICAL.forEach((code, i) => {
    put(code, i - VERTICAL_REACH + 4);
  });
  return table;
}
