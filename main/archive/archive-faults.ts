import type { ArchiveReport } from './port.ts';

/** The faults that a check of an archive found, one line each. */
export const archiveFaults = ({ databaseTrouble, absent, damaged }: ArchiveReport): string[] => [
  ...databaseTrouble.map((trouble) => `Database: ${trouble}`),
  ...absent.map(({ sha256, name }) => `Missing: ${name} (${sha256})`),
  ...damaged.map(({ sha256, name }) => `Damaged: ${name} (${sha256})`),
];
