import { fileNameStem } from '../output/file-name.ts';

/**
 * A text as an XML name token, which has no spaces, slashes or number signs (XML 1.0, section 2.3). Different texts
 * have different tokens.
 */
export const nameToken = (text: string): string => fileNameStem(text);

/** A path below a folder as a relative address (RFC 3986): each part is escaped. */
export const relativeAddress = (path: string): string => path.split('/').map(encodeURIComponent).join('/');
