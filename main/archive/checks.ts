import type { Result } from '../../core/measure/result.ts';
import { copyArchive } from './backup.ts';
import { jobCount, keptFiles } from './kept-files.ts';
import type { ArchiveProblem, ArchiveReport, Backup, Checks, CheckTools, KeptFile, Vault } from './port.ts';
import type { Store } from './store.ts';

export class SqliteChecks implements Checks {
  readonly startupCheck: Checks['startupCheck'];
  readonly #store: Store;
  readonly #vault: Vault;
  readonly #folder: string;

  constructor(store: Store, vault: Vault, folder: string, startupCheck: Checks['startupCheck']) {
    this.#store = store;
    this.#vault = vault;
    this.#folder = folder;
    this.startupCheck = startupCheck;
  }

  async keptFiles(): Promise<KeptFile[]> {
    return await this.#store.read(keptFiles);
  }

  async checkAll({ signal, report }: CheckTools): Promise<ArchiveReport> {
    const { trouble, jobs, kept } = await this.#store.read((db) => ({
      trouble: db.pragma('integrity_check(20)') as { integrity_check: string }[],
      jobs: jobCount(db),
      kept: keptFiles(db),
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
      databaseTrouble: trouble.map((row) => row.integrity_check).filter((text) => text !== 'ok'),
      absent,
      damaged,
    };
  }

  async backUp(to: string, tools: CheckTools): Promise<Result<Backup, ArchiveProblem>> {
    return await copyArchive({ store: this.#store, vault: this.#vault, folder: this.#folder }, to, tools);
  }
}
