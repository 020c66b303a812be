/**
 * What the comparison of two artworks is worth: `npm run -s bench compare [-- --quick]`.
 *
 * A hundred pairs are made by changing one thing in a page each, and sixty where the file was only written anew, twenty of
 * them with one real change too. What has changed in truth is drawn by two programs that share nothing with the comparison:
 * a panel counts as changed where both show it. `missed` counts panels that have changed and are not said to have, and
 * changes beside the side that nothing is said of; `falseAlarms` panels of files written anew that have not changed and are
 * said to have. `compareOverCut`: the time to compare two artworks of 146 MB over twelve panels, of which one has a block of
 * pixels changed, over that of cutting one of them. `--quick` makes a tenth of the pairs and no large artwork.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { CHANGES } from '../support/changed-artwork.ts';
import { type Base, basePages, type Change, Pairs } from './compare/pairs.ts';
import { REWRITES } from './compare/rewrites.ts';
import { compareOverCut } from './compare/speed.ts';

const PAIRS = 100;
const REWRITTEN = 60;
const REWRITTEN_AND_CHANGED = 20;
/** So often another thing of a page is tried, before the pages run out. */
const PICKS = 12;

export async function run(args: string[]): Promise<void> {
  const share = args.includes('--quick') ? 0.1 : 1;
  const folder = mkdtempSync(join(tmpdir(), 'panelwright-bench-'));
  try {
    const bases = await basePages();
    const pairs = new Pairs(folder);
    const tally = { missed: 0, falseAlarms: 0 };
    const said = (what: string, missed: readonly string[], falseAlarms: readonly string[]): void => {
      if (missed.length > 0) console.log(`missed: ${what}: ${missed.join(', ')}`);
      if (falseAlarms.length > 0) console.log(`false alarm: ${what}: ${falseAlarms.join(', ')}`);
    };
    const changes = await changedPairs(bases, pairs, Math.ceil(PAIRS * share));
    for (const change of changes) {
      const { missed, falseAlarms } = await pairs.outcome(change, change.before, change.after);
      tally.missed += missed.length;
      // What one renderer shows, or none does, may have changed all the same: a spot ink, a covered object.
      said(`${change.kind} of ${change.name}`, missed, falseAlarms);
    }
    const count = Math.ceil(REWRITTEN * share);
    const withChange = Math.ceil(REWRITTEN_AND_CHANGED * share);
    let rewritten = 0;
    let changed = 0;
    for await (const file of rewrittenPairs(bases, changes, pairs, count, withChange)) {
      const { missed, falseAlarms } = await pairs.outcome(file.change, file.before, file.after);
      rewritten++;
      if (file.change.kind) changed++;
      tally.missed += missed.length;
      tally.falseAlarms += falseAlarms.length;
      said(`${file.how} of ${file.name}`, missed, falseAlarms);
    }
    console.log(`${changes.length} pairs, ${rewritten} written anew, ${changed} of these with a change`);
    const figures = { pairs: changes.length, rewritten, ...tally };
    const ratio = args.includes('--quick') ? null : await compareOverCut(folder);
    console.log(JSON.stringify({ ...figures, compareOverCut: ratio }));
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

type NamedChange = Change & { readonly name: string };

/** Kinds of change in turn, each of a page after the other. */
async function changedPairs(bases: readonly Base[], pairs: Pairs, count: number): Promise<NamedChange[]> {
  const found: NamedChange[] = [];
  for (const [at, kind] of CHANGES.entries()) {
    const wanted = Math.floor(((at + 1) * count) / CHANGES.length);
    for (let pick = 0; pick < PICKS && found.length < wanted; pick++) {
      for (const base of bases) {
        if (found.length >= wanted) break;
        const change = await pairs.changed(base, kind, pick + 1);
        if (change) found.push({ ...change, name: nameOf(base) });
      }
    }
  }
  return found;
}

const nameOf = ({ path, page }: Base): string => `${path.split(/[\\/]/).at(-1)} page ${page.number}`;

interface Rewritten {
  readonly before: string;
  readonly after: string;
  readonly how: string;
  readonly name: string;
  readonly change: Pick<Change, 'page'> & Partial<Change>;
}

/** First those with a change, in the corrected artwork; then those without any. */
async function* rewrittenPairs(
  bases: readonly Base[],
  changes: readonly NamedChange[],
  pairs: Pairs,
  count: number,
  withChange: number,
): AsyncGenerator<Rewritten> {
  const ways = Object.keys(REWRITES);
  let made = 0;
  const inTurn = changes.filter(({ kind }) => kind !== 'off-side');
  // Every kind of change, and every way.
  for (let at = 0; made < withChange && at < 3 * inTurn.length; at++) {
    const change = inTurn[(at * 7) % inTurn.length]!;
    const how = ways[at % ways.length]!;
    const after = await pairs.rewritten(change.after, change.page, how);
    if (!after) continue;
    made++;
    yield { before: change.before, after, how, name: `${change.kind} of ${change.name}`, change };
  }
  for (let at = 0; made < count && at < ways.length * bases.length; at++) {
    const base = bases[at % bases.length]!;
    const how = ways[(at + Math.floor(at / bases.length)) % ways.length]!;
    const after = await pairs.rewritten(base.path, base.page, how);
    if (!after) continue;
    made++;
    yield { before: base.path, after, how, name: nameOf(base), change: { page: base.page } };
  }
}
