/** Text with its no-break spaces as plain ones, to be compared with what a person types. */
export const breakable = (text: string): string => text.replaceAll('\u00a0', ' ');
