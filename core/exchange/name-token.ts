import { fileNameStem } from '../output/file-name.ts';

/**
 * A text as a name token of XML, which has no space, slash or number sign in it (XML 1.0, section 2.3). Texts that
 * differ have tokens that differ.
 */
export const nameToken = (text: string): string => fileNameStem(text);

/** A path below a folder as an address (RFC 3986): each part of it escaped. */
export const relativeAddress = (path: string): string => path.split('/').map(encodeURIComponent).join('/');
