/**
 * The end of the file identifier of each document that this program draws: shows that a file is its own before it is
 * replaced. “panelw” in ASCII, as hexadecimal digits.
 */
export const DOCUMENT_MARK = '70616e656c77';
