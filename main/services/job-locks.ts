/**
 * Which window has a job open for editing. Two windows on one job would overwrite each other's work; the second
 * is told and may read. Between two programs on one archive the revision of the save does the same.
 */
export class JobLocks {
  readonly #holders = new Map<string, string>();

  /** Takes the lock where it is free or already ours; returns who holds it otherwise. */
  take(jobId: string, clientId: string): string | undefined {
    const holder = this.#holders.get(jobId);
    if (holder !== undefined && holder !== clientId) return holder;
    this.#holders.set(jobId, clientId);
    return undefined;
  }

  /** Takes the lock from whoever holds it, because the person says that the other window is done. */
  takeOver(jobId: string, clientId: string): void {
    this.#holders.set(jobId, clientId);
  }

  isHeldByOther(jobId: string, clientId: string): boolean {
    const holder = this.#holders.get(jobId);
    return holder !== undefined && holder !== clientId;
  }

  release(jobId: string, clientId: string): void {
    if (this.#holders.get(jobId) === clientId) this.#holders.delete(jobId);
  }

  releaseAll(clientId: string): void {
    for (const [jobId, holder] of this.#holders) if (holder === clientId) this.#holders.delete(jobId);
  }
}
