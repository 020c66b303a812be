/**
 * Whether a folder lies on a share of the network. SQLite's write-ahead log needs memory that all programs share, and
 * locks that hold, which shares do not give: sqlite.org/wal.html, “all processes using a database must be on the same
 * host computer”.
 */
import { execFileSync } from 'node:child_process';
import { readFileSync, realpathSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';

const NETWORK_TYPE =
  /^(nfs4?|cifs|smb3?|smbfs|afpfs|afs|ncpfs|ceph|glusterfs|lustre|webdav|davfs|fuse\.(sshfs|davfs2?|rclone|s3fs|smbnetfs))$/;

/** What a system says of its disks. */
export interface Disks {
  readonly platform: NodeJS.Platform;
  /** What is mounted, in the system's own format. */
  readonly mounts: () => string;
}

/** The kind of share that holds a folder, or will hold it; undefined where the disk is one of this machine. */
export function networkShareOf(folder: string, { platform, mounts }: Disks = DISKS): string | undefined {
  const place = placeOnDisk(folder);
  if (platform === 'win32') return /^\\\\(?![?.]\\)/.test(place) ? 'a Windows share' : undefined;
  const read = platform === 'darwin' ? mountsFromMac : mountsFromProc;
  return networkTypeAmong(read(mounts()), place);
}

const DISKS: Disks = {
  platform: process.platform,
  mounts: () => {
    try {
      return process.platform === 'darwin'
        ? execFileSync('/sbin/mount', { encoding: 'utf8' })
        : readFileSync('/proc/self/mounts', 'utf8');
    } catch {
      return '';
    }
  },
};

interface Mount {
  readonly folder: string;
  readonly type: string;
}

/** Of the mounts that hold a place, the innermost counts. */
function networkTypeAmong(mounts: readonly Mount[], place: string): string | undefined {
  const holding = mounts.filter(
    ({ folder }) => place === folder || place.startsWith(folder === '/' ? '/' : `${folder}/`),
  );
  // Of two on one folder, the later one hides the other.
  const innermost = holding.reduce<Mount | undefined>(
    (best, mount) => (best && best.folder.length > mount.folder.length ? best : mount),
    undefined,
  );
  return innermost && NETWORK_TYPE.test(innermost.type) ? innermost.type : undefined;
}

/** `server:/jobs /mnt/jobs nfs4 rw,… 0 0`, with blanks as \040, see proc_mounts(5). */
const mountsFromProc = (text: string): Mount[] =>
  text.split('\n').flatMap((line) => {
    const [, folder, type] = line.split(' ');
    if (folder === undefined || type === undefined) return [];
    return [
      {
        folder: folder.replaceAll(/\\(\d{3})/g, (_, octal) => String.fromCharCode(Number.parseInt(octal, 8))),
        type,
      },
    ];
  });

/** `//anna@server/jobs on /Volumes/jobs (smbfs, nodev, …)`, as mount(8) of a Mac prints them. */
const mountsFromMac = (text: string): Mount[] =>
  [...text.matchAll(/^.+? on (.+) \((\w+)[,)]/gm)].map(([, folder, type]) => ({
    folder: folder!,
    type: type!,
  }));

/** With links followed and mapped drives named by their share, also where the folder is not there yet. */
function placeOnDisk(folder: string): string {
  for (let place = folder; ; place = dirname(place)) {
    try {
      return join(realpathSync.native(place), relative(place, folder));
    } catch {
      if (dirname(place) === place) return folder;
    }
  }
}
