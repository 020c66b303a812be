import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, statfsSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe } from 'vitest';

/** A real file system of a few megabytes in memory, to be filled up or made read-only. Needs the right to mount. */
export class SmallDisk {
  readonly folder: string;

  constructor(sizeKb: number) {
    this.folder = mkdtempSync(join(tmpdir(), 'panelwright-small-disk-'));
    execFileSync('mount', ['-t', 'tmpfs', '-o', `size=${sizeKb}k`, 'tmpfs', this.folder]);
  }

  /** Fills the disk except for a given amount. */
  fill(leaveKb: number): void {
    const { bavail, bsize } = statfsSync(this.folder);
    writeFileSync(join(this.folder, 'filler'), Buffer.alloc(Math.max(0, bavail * bsize - leaveKb * 1024)));
  }

  free(): void {
    rmSync(join(this.folder, 'filler'), { force: true });
  }

  setReadOnly(isReadOnly: boolean): void {
    execFileSync('mount', ['-o', `remount,${isReadOnly ? 'ro' : 'rw'}`, this.folder]);
  }

  close(): void {
    execFileSync('umount', ['-l', this.folder]);
    rmSync(this.folder, { recursive: true });
  }
}

function isMountAllowed(): boolean {
  if (process.platform !== 'linux') return false;
  const folder = mkdtempSync(join(tmpdir(), 'panelwright-mount-'));
  const { status } = spawnSync('mount', ['-t', 'tmpfs', '-o', 'size=64k', 'tmpfs', folder], {
    stdio: 'ignore',
  });
  if (status === 0) execFileSync('umount', [folder]);
  rmSync(folder, { recursive: true });
  return status === 0;
}

/** A `describe` that runs only where this process may mount; skipped by name elsewhere. */
export function describeWithSmallDisk(name: string, body: () => void): void {
  if (isMountAllowed()) describe(name, body);
  else describe.skip(`${name} [needs the right to mount]`, body);
}
