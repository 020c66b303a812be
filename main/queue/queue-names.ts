import { PROGRAM_VERSION } from '../files/program.ts';

/** A schema beside the tables of the archive. */
export const SCHEMA = 'panelwright_queue';

/** Each version has a separate queue, because another version could make other bytes. */
export const QUEUE = `tasks-${PROGRAM_VERSION}`;
