import { readFile } from 'node:fs/promises';
import { schemaSentence } from '../../core/job/schema-sentence.ts';
import { shopDefaults } from '../../core/job/shop-defaults.ts';
import { ShopProfile } from '../../core/job/shop-profile.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { fileProblem } from '../files/file-problem.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import { printable } from './terminal.ts';

/** Prints the shop of an archive as JSON, or keeps another in its place. */
export const shopCommand =
  ({ set }: { readonly set?: string }) =>
  async ({ terminal, now, locale, withArchive }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async ({ archive }) => {
      if (set === undefined) {
        const { profile = shopDefaults(locale) } = await archive.shelf.items();
        terminal.printResult(profile, [JSON.stringify(profile, undefined, 2)]);
        return resultOk('done');
      }
      const read = await profileRead(set);
      if (!read.ok) return read;
      const kept = await archive.shelf.keep({ kind: 'profile', value: read.value }, now());
      if (!kept.ok) return kept;
      const name = read.value.name.trim();
      terminal.printResult(read.value, [
        `New jobs begin with the settings of ${name === '' ? 'this shop' : printable(name)} from now on.`,
      ]);
      return resultOk('done');
    });

async function profileRead(path: string): Promise<Result<ShopProfile>> {
  let document: unknown;
  try {
    document = JSON.parse(await readFile(path, 'utf8'));
  } catch (error) {
    const problem = fileProblem(error, path);
    if (problem) return resultProblem(problem);
    if (!(error instanceof SyntaxError)) throw error;
    return resultProblem(notAShop(path, 'It is not JSON.'));
  }
  const profile = ShopProfile.safeParse(document);
  if (profile.success) return resultOk(profile.data);
  return resultProblem(notAShop(path, schemaSentence(profile.error, document)));
}

const notAShop = (path: string, why: string) => ({
  code: 'shop-invalid',
  message: `${path} is not the settings of a shop. ${why}`,
  remedy: 'Write the shop as it is with: panelwright shop > FILE, and change that file.',
});
