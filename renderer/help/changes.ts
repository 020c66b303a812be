/** What the change log says of this version and those before it, read when the screens are built. */
import changeLog from '../../CHANGELOG.md?raw';
import { version } from '../../package.json';
import { versionChanges } from './version-changes.ts';

export const PROGRAM_VERSION = version;

export const ALL_CHANGES = versionChanges(changeLog);
