/**
 * Replaces dashes and hyphens as fonts encode them and designers type them; many fonts give the hyphen as a soft one.
 */
export const plainDashes = (text: string): string => text.replaceAll(/[\u00ad\u2010-\u2015\u2212]/g, '-');
