import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { makeFolder, makeFolderSync } from '../../../main/files/make-folder.ts';

let root: string;
beforeEach(() => {
  root = mkdtempSync(join(tmpdir(), 'panelwright-made-'));
});
afterEach(() => rmSync(root, { recursive: true }));

describe('a folder', () => {
  test('is made with those above it, and the topmost that was not there is told', async () => {
    expect(await makeFolder(join(root, 'a', 'b', 'c'))).toBe(join(root, 'a'));
    expect(await makeFolder(join(root, 'a', 'b', 'c'))).toBeUndefined();
    expect(await makeFolder(join(root, 'a', 'd'))).toBe(join(root, 'a', 'd'));
    makeFolderSync(join(root, 'e', 'f'));
    makeFolderSync(join(root, 'e', 'f'));
    expect(existsSync(join(root, 'e', 'f'))).toBe(true);
  });

  test('below a file is refused', async () => {
    writeFileSync(join(root, 'file'), '');
    await expect(makeFolder(join(root, 'file', 'a'))).rejects.toThrow('ENOTDIR');
    expect(() => makeFolderSync(join(root, 'file', 'a'))).toThrow('ENOTDIR');
    await expect(makeFolder(join(root, 'file'))).rejects.toThrow('EEXIST');
  });

  test.runIf(process.platform === 'linux')(
    'below one that takes none is refused, and does not go on for ever',
    async () => {
      await expect(makeFolder('/proc/panelwright/archive')).rejects.toThrow('ENOENT');
      expect(() => makeFolderSync('/proc/panelwright/archive')).toThrow('ENOENT');
    },
  );
});
