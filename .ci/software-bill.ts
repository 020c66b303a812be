/**
 * What a release is made of, in the CycloneDX 1.6 format (ECMA-424): every package that is shipped, from the lock
 * file, with version, license and hash. The same lock file gives the same bill.
 */
import { createHash } from 'node:crypto';

interface LockedPackage {
  readonly version?: string;
  readonly license?: string;
  readonly integrity?: string;
  readonly dev?: boolean;
  readonly devOptional?: boolean;
  readonly name?: string;
}

export interface LockFile {
  readonly name: string;
  readonly version: string;
  readonly packages: Readonly<Record<string, LockedPackage>>;
}

/** A development dependency by npm's book, but its runtime is what carries the program. */
const SHIPPED_ALL_THE_SAME = new Set(['node_modules/electron']);

export function softwareBill(lock: LockFile) {
  const shipped = Object.entries(lock.packages)
    .filter(([path, { dev, devOptional }]) => {
      return path !== '' && (SHIPPED_ALL_THE_SAME.has(path) || (dev !== true && devOptional !== true));
    })
    .map(([path, locked]) => componentFrom(path, locked))
    .toSorted((a, b) => (a['bom-ref'] < b['bom-ref'] ? -1 : 1));
  return {
    bomFormat: 'CycloneDX',
    specVersion: '1.6',
    serialNumber: serialFrom(JSON.stringify([lock.version, shipped])),
    version: 1,
    metadata: {
      component: { type: 'application', name: lock.name, version: lock.version, 'bom-ref': 'panelwright' },
    },
    components: [...new Map(shipped.map((component) => [component['bom-ref'], component])).values()],
  };
}

function componentFrom(path: string, { name, version = '', license, integrity }: LockedPackage) {
  const packageName = name ?? path.slice(path.lastIndexOf('node_modules/') + 'node_modules/'.length);
  const purl = `pkg:npm/${packageName.replace('@', '%40')}@${version}`;
  const [algorithm, base64] = integrity?.split('-') ?? [];
  return {
    type: 'library',
    'bom-ref': purl,
    name: packageName,
    version,
    purl,
    ...(license !== undefined && { licenses: [licenseFrom(license)] }),
    ...(algorithm === 'sha512' &&
      base64 !== undefined && {
        hashes: [{ alg: 'SHA-512', content: Buffer.from(base64, 'base64').toString('hex') }],
      }),
  };
}

/** One license by its SPDX name, several as an expression. */
const licenseFrom = (license: string) =>
  /[\s()]/.test(license) ? { expression: license.replaceAll(/^\(|\)$/g, '') } : { license: { id: license } };

/** A UUID (RFC 9562, version 8: of our own making) from the content. */
function serialFrom(content: string): string {
  const hex = createHash('sha256').update(content).digest('hex');
  return `urn:uuid:${hex.slice(0, 8)}-${hex.slice(8, 12)}-8${hex.slice(13, 16)}-a${hex.slice(17, 20)}-${hex.slice(20, 32)}`;
}
