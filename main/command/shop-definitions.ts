/** Commands on the settings of the shop and the rolls on its shelf. */

import { type Command, InvalidArgumentError } from 'commander';
import { STOCK_USES, type StockUse } from '../../core/shop/stock-use.ts';
import type { AddCommand } from './command-definition.ts';
import { count, figureList, isoDate } from './shared-options.ts';

const shopCommands = () => import('./shop-command.ts');
const printedCommands = () => import('./printed-command.ts');
const stockCommands = () => import('./stock-commands.ts');

export function defineShop(add: AddCommand): void {
  add(
    'shop',
    'print the settings of the shop as JSON, which new jobs begin with, or keep others',
    async () => (await shopCommands()).shopCommand,
  ).option('--set <file>', 'JSON file of a shop, as this command prints it');
  add('stock', 'list the rolls on the shelf', async () => (await stockCommands()).stockCommand)
    .option('--use <use>', 'only film, laminate or perforated-film', stockUse)
    .option('--material <words>', 'only materials whose name has these words')
    .option('--lot <text>', 'only this lot number')
    .option('--width <length>', 'only this true width, such as 1371.6 or "54 in"')
    .option('--all', 'rolls that are used up too', false);
  add(
    'stock-ledger',
    'show a roll of the shelf with everything that was put on it and taken off',
    async () => (await stockCommands()).ledgerCommand,
  ).argument('<roll>', STOCK_ROLL);
  add(
    'stock-labels',
    'write labels for rolls of the shelf, whose code finds them again',
    async () => (await stockCommands()).labelsCommand,
  )
    .argument('<rolls...>', 'codes of the rolls, such as R-0042')
    .requiredOption('--to <file>', 'PDF to write')
    .option('--skip <count>', 'labels that are gone from the first sheet already', count);
  withEntry(
    add('stock-receive', 'put a roll on the shelf', async () => (await stockCommands()).receiveCommand)
      .requiredOption('--material <name>', 'what the film or laminate is called')
      .option('--use <use>', 'film, laminate or perforated-film', stockUse, 'film')
      .requiredOption('--lot <text>', 'lot number of its maker; "" where it is not known')
      .requiredOption('--roll <text>', 'roll number')
      .requiredOption('--width <length>', 'true width, such as 1371.6 or "54 in"')
      .requiredOption('--length <length>', 'length on it, such as "45.72 m" or "150 ft"')
      .option('--place <text>', 'where it stands', '')
      .option('--received <date>', 'day on which it came in; today where not given', isoDate)
      .option('--use-by <date>', 'last day on which its maker answers for it', isoDate),
  );
  withEntry(
    add(
      'stock-change',
      'put right what is known of a roll of the shelf; what is not given stays',
      async () => (await stockCommands()).changeCommand,
    )
      .argument('<roll>', STOCK_ROLL)
      .option('--material <name>', 'what the film or laminate is called')
      .option('--use <use>', 'film, laminate or perforated-film', stockUse)
      .option('--lot <text>', 'lot number of its maker; "" where it is not known')
      .option('--roll <text>', 'roll number')
      .option('--width <length>', 'true width, such as 1371.6 or "54 in"')
      .option('--place <text>', 'where it stands')
      .option('--received <date>', 'day on which it came in', isoDate)
      .option('--use-by <date>', 'last day on which its maker answers for it; "" where there is none'),
  );
  withEntry(
    add(
      'stock-correct',
      'enter what was measured on a roll of the shelf',
      async () => (await stockCommands()).correctCommand,
    )
      .argument('<roll>', STOCK_ROLL)
      .requiredOption('--left <length>', 'what is left on it, such as "12.4 m"; 0 where it is used up')
      .option('--note <text>', 'why it differs', ''),
  );
  withBelowZero(
    add(
      'printed',
      'enter that an output was printed: takes what it used off the rolls of the shelf',
      async () => (await printedCommands()).printedCommand,
    )
      .argument('<job>', 'number or id of the job')
      .argument('<output>', 'number of the output, see history', count)
      .option(
        '--roll <roll=length>',
        'roll of the shelf in place of the next planned one, such as R-0042, or R-0042="12.4 m" where not as planned; may be given again',
        figureList,
        [],
      )
      .option('--laminate <roll=length>', 'the same for laminate', figureList, [])
      .option('--used-up <roll>', 'nothing is left on this roll; may be given again', figureList, [])
      .option('--off-printer <text>', 'last panel off printer, such as "2026-11-20 13:00"')
      .option('--again', 'it was printed once more, or more of its panels were', false)
      .option(
        '--twice',
        'a panel is on more rolls than it has prints, or a roll has several stretches',
        false,
      ),
  );
  withBelowZero(
    add(
      'stock-scrap',
      'take film off a roll of the shelf that is not used for a job',
      async () => (await stockCommands()).scrapCommand,
    )
      .argument('<roll>', STOCK_ROLL)
      .requiredOption('--length <length>', 'how much, such as "1.2 m"')
      .option('--note <text>', 'why', ''),
  );
  withBelowZero(
    add(
      'stock-undo',
      'undo a wrong entry in the ledger of a roll by a counter-entry',
      async () => (await stockCommands()).undoCommand,
    )
      .argument('<entry>', 'number of the entry, see stock-ledger', count)
      .option('--note <text>', 'what was wrong', ''),
  );
}

const STOCK_ROLL = 'code on the label of the roll, such as R-0042';

const withEntry = (command: Command): Command =>
  command
    .option('--by <name>', 'who enters it', '')
    .option('--inches', 'show lengths in inches, whatever the shop does', false);

const withBelowZero = (command: Command): Command =>
  withEntry(
    command.option(
      '--below-zero',
      'even where the roll comes out below zero; without it, that is refused',
      false,
    ),
  );

function stockUse(text: string): StockUse {
  const use = STOCK_USES.find((known) => known === text);
  if (!use) throw new InvalidArgumentError(`Select from ${STOCK_USES.join(', ')}.`);
  return use;
}
