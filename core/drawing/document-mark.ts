/**
 * The end of the file identifier of each document that this program draws, so that it recognizes its files before it
 * replaces them. “panelw” in ASCII, as hexadecimal digits.
 */
export const DOCUMENT_MARK = '70616e656c77';
