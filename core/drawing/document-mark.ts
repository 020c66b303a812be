/**
 * Ends the file identifier of each document that this program draws, so that it is told from the files of others before it
 * is replaced: “panelw” in ASCII, as hexadecimal digits.
 */
export const DOCUMENT_MARK = '70616e656c77';
