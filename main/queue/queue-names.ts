import { PROGRAM_VERSION } from '../files/program.ts';

/** Beside the tables of the archive. */
export const SCHEMA = 'panelwright_queue';

/** Each version has its own: another one could make other bytes. */
export const QUEUE = `tasks-${PROGRAM_VERSION}`;
