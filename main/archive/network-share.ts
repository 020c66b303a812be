/**
 * Detects whether a folder is on a network share. SQLite's write-ahead log needs memory shared by all programs, and
 * reliable locks, which shares do not provide: sqlite.org/wal.html, “all processes using a database must be on the same
 * host computer”.
 */
import { execFileSync } from 'node:child_process';
import { readFileSync, realpathSync, statfsSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { present } from '../../core/measure/present.ts';

/**
 * The statfs(2) numbers in Linux of file systems that another computer may hold, or may write to as well. The numbers
 * are those of the manual page (man7.org/linux/man-pages/man2/statfs.2.html) and of `linux/magic.h`; which of them are
 * remote follows GNU coreutils 9 (`src/stat.c`, which tells `tail` where it must not rely on the kernel). 9p is added:
 * to the kernel it is a network protocol (docs.kernel.org/filesystems/9p.html), and it shows folders of a host.
 */
const REMOTE_TYPES: ReadonlyMap<number, string> = new Map([
  [0x6969, 'nfs'],
  [0x517b, 'smb'],
  [0xfe534d42, 'smb2'],
  [0xff534d42, 'cifs'],
  [0x01021997, '9p'],
  [0x73757245, 'coda'],
  [0x564c, 'ncp'],
  [0x5346414f, 'afs'],
  [0x6b414653, 'afs'],
  [0x00c36400, 'ceph'],
  [0x0bd00bd0, 'lustre'],
  [0x19830326, 'beegfs'],
  [0x61636673, 'acfs'],
  [0x01161970, 'gfs2'],
  [0x47504653, 'gpfs'],
  [0x013111a8, 'ibrix'],
  [0x7461636f, 'ocfs2'],
  [0xaad7aaea, 'panfs'],
  [0xbeefdead, 'snfs'],
  [0xa501fcf5, 'vxfs'],
  [0x786f4256, 'vboxsf'],
  [0xbacbacbc, 'vmhgfs'],
  [0x7c7c6673, 'prl_fs'],
]);

/** User programs provide these file systems, with any content; all have the same number. */
const FUSE_TYPE = 0x65735546;
/** FUSE types that are known to be on this machine: a block device, an encrypted folder, layers of a container. */
const LOCAL_FUSE = /^(fuseblk|fuse\.(encfs|gocryptfs|cryfs|fuse-overlayfs))$/;

/** What the operating system reports about its disks. */
export interface Disks {
  readonly platform: NodeJS.Platform;
  /** Returns the list of mounts, in the system's own format. */
  readonly mounts: () => string;
  /** The statfs(2) number for the disk of a folder; undefined where there is none. */
  readonly type: (folder: string) => number | undefined;
}

/** The kind of share that holds a folder, or will hold it; undefined where the disk belongs to this machine. */
export function networkShareOf(folder: string, disks: Disks = DISKS): string | undefined {
  const { existing, place } = placeOnDisk(folder);
  switch (disks.platform) {
    case 'win32':
      return /^\\\\(?![?.]\\)/.test(place) ? 'a Windows share' : undefined;
    case 'darwin': {
      const mount = innermostMount(mountsFromMac(disks.mounts()), place);
      return mount && !mount.isLocal ? mount.type : undefined;
    }
    default: {
      const type = disks.type(existing);
      if (type !== FUSE_TYPE) return type === undefined ? undefined : REMOTE_TYPES.get(type);
      const mounted = innermostMount(mountsFromProc(disks.mounts()), place)?.type ?? 'fuse';
      return LOCAL_FUSE.test(mounted) ? undefined : mounted;
    }
  }
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
  type: (folder) => {
    try {
      // A 32-bit system reports some of the numbers as negative.
      return statfsSync(folder).type >>> 0;
    } catch {
      return undefined;
    }
  },
};

interface Mount {
  readonly folder: string;
  readonly type: string;
}

/** The innermost of the mounts that contain a place; of two on one folder, the later one hides the other. */
const innermostMount = <M extends Mount>(mounts: readonly M[], place: string): M | undefined =>
  mounts
    .filter(({ folder }) => place === folder || place.startsWith(folder === '/' ? '/' : `${folder}/`))
    .reduce<M | undefined>(
      (best, mount) => (best && best.folder.length > mount.folder.length ? best : mount),
      undefined,
    );

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

/**
 * `//anna@server/jobs on /Volumes/jobs (smbfs, nodev, …)`, as mount(8) prints it on a Mac. It adds `local` for a disk
 * of this machine: MNT_LOCAL of statfs(2) there.
 */
const mountsFromMac = (text: string): (Mount & { readonly isLocal: boolean })[] =>
  [...text.matchAll(/^.+? on (.+) \((\w+)(?:, )?(.*)\)$/gm)].map(([, folder, type, flags]) => ({
    folder: present(folder, 'The folder of a mount'),
    type: present(type, 'The file system of a mount'),
    isLocal: present(flags, 'The options of a mount').split(', ').includes('local'),
  }));

/** Follows links and replaces mapped drives by their share, even where the folder does not exist yet. */
function placeOnDisk(folder: string): { readonly existing: string; readonly place: string } {
  for (let existing = folder; ; existing = dirname(existing)) {
    try {
      const real = realpathSync.native(existing);
      return { existing: real, place: join(real, relative(existing, folder)) };
    } catch {
      if (dirname(existing) === existing) return { existing, place: folder };
    }
  }
}
