import { readFileSync } from 'node:fs';

const packageJson = JSON.parse(readFileSync(new URL('../../package.json', import.meta.url), 'utf8')) as {
  version: string;
};

/** Version of this program, recorded with each output. */
export const PROGRAM_VERSION = packageJson.version;
