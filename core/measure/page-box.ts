/** The boxes of a PDF page, ISO 32000-1, 14.11.2. */
export const PAGE_BOXES = ['media', 'crop', 'bleed', 'trim', 'art'] as const;
export type PageBox = (typeof PAGE_BOXES)[number];
