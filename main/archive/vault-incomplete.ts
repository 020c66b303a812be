import type { Problem } from '../../core/measure/result.ts';

export const vaultIncomplete = (message: string): Problem => ({
  code: 'vault-incomplete',
  message,
  remedy: 'Restore the archive folder from a backup, or cut the job again from its artwork.',
});
