/** Commands that look after the program and its archive. */

import type { AddCommand } from './command-definition.ts';

const archiveCommands = () => import('./archive-commands.ts');
const doctorCommands = () => import('./doctor-command.ts');

export function defineUpkeep(add: AddCommand): void {
  add(
    'doctor',
    'say what the program finds on this machine, and what is wrong: database, vault, disk, versions, fonts, renderer, clock, log',
    async () => (await doctorCommands()).doctorCommand,
  );
  add(
    'archive-check',
    'check the database and every kept file',
    async () => (await archiveCommands()).checkArchiveCommand,
  );
  add(
    'archive-backup',
    'copy the archive, its database and its files, while it may be in use',
    async () => (await archiveCommands()).backUpCommand,
  ).requiredOption(
    '--to <folder>',
    'folder to write; it is an archive itself, and restores by taking the place of the old one',
  );
  add(
    'archive-move',
    'copy an archive into an empty one of another kind, such as from a folder into a shared one; the first stays as it is',
    async () => (await archiveCommands()).moveArchiveCommand,
  )
    .requiredOption('--to <archive>', 'folder, or address such as postgres://server/database')
    .option('--to-vault <folder>', 'with an address: the folder for its files');
  add(
    'archive-set-aside',
    'begin a new database, and rename a damaged one',
    async () => (await archiveCommands()).setAsideCommand,
  );
}
