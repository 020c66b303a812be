/** What an operand is. Names, strings, arrays and dictionaries are given by the range of their bytes. */
export const OPERAND = { number: 1, name: 2, literal: 3, hex: 4, array: 5, dict: 6, word: 7 } as const;
