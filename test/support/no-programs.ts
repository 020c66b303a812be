/** Set up before each file of `npm run test:unit`: a test that starts a process belongs elsewhere. */
import childProcess from 'node:child_process';
import { syncBuiltinESMExports } from 'node:module';

for (const name of ['spawn', 'spawnSync', 'exec', 'execSync', 'execFile', 'execFileSync', 'fork'] as const) {
  const refused = (program: string): never => {
    throw new Error(`A unit test starts ${program}: let describeWithTools name the tools it needs.`);
  };
  Object.assign(childProcess, { [name]: refused });
}
syncBuiltinESMExports();
