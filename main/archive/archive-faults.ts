import type { ArchiveReport } from './port.ts';

/** What a check of an archive found, a line for each fault. */
export const archiveFaults = ({ databaseTrouble, absent, damaged }: ArchiveReport): string[] => [
  ...databaseTrouble.map((trouble) => `Database: ${trouble}`),
  ...absent.map(({ sha256, name }) => `Missing: ${name} (${sha256})`),
  ...damaged.map(({ sha256, name }) => `Damaged: ${name} (${sha256})`),
];
