import type { Result } from '../../core/measure/result.ts';
import { jobCount, keptFiles } from './kept-files.ts';
import type { ArchiveProblem, ArchiveReport, Backup, Checks, CheckTools, KeptFile, Vault } from './port.ts';
import type { Sql, Store } from './sql.ts';

/** Checks that each database does differently. */
export interface OwnChecks extends Pick<Checks, 'startupCheck' | 'backUp'> {
  /** Errors reported by the database's own check. */
  trouble(sql: Sql): Promise<string[]>;
}

export class StoredChecks implements Checks {
  readonly startupCheck: Checks['startupCheck'];
  readonly #store: Store;
  readonly #vault: Vault;
  readonly #own: OwnChecks;

  constructor(store: Store, vault: Vault, own: OwnChecks) {
    this.#store = store;
    this.#vault = vault;
    this.#own = own;
    this.startupCheck = own.startupCheck;
  }

  async keptFiles(): Promise<KeptFile[]> {
    return await this.#store.read(keptFiles);
  }

  async checkAll({ signal, report }: CheckTools): Promise<ArchiveReport> {
    const { trouble, jobs, kept } = await this.#store.read(async (sql) => ({
      trouble: await this.#own.trouble(sql),
      jobs: await jobCount(sql),
      kept: await keptFiles(sql),
    }));
    const absent: KeptFile[] = [];
    const damaged: KeptFile[] = [];
    for (const [index, file] of kept.entries()) {
      signal.throwIfAborted();
      const onShare = (share: number) =>
        report({ what: `Checking ${file.name}`, done: index + share, total: kept.length });
      onShare(0);
      const state = await this.#vault.state(file.sha256, { signal, onShare });
      if (state === 'absent') absent.push(file);
      if (state === 'damaged') damaged.push(file);
    }
    return {
      jobs,
      files: kept.length,
      databaseTrouble: trouble,
      absent,
      damaged,
    };
  }

  async backUp(to: string, tools: CheckTools): Promise<Result<Backup, ArchiveProblem>> {
    return await this.#own.backUp(to, tools);
  }
}
