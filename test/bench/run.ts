/**
 * Runs one benchmark by name: `npm run bench pack`. Each is a file beside this one with a `run` that takes the
 * remaining arguments and prints its results, the last line as JSON.
 */
import { readdirSync } from 'node:fs';

interface Benchmark {
  readonly run: (args: string[]) => unknown;
}

const names = readdirSync(import.meta.dirname)
  .filter((file) => file.endsWith('.ts') && file !== 'run.ts')
  .map((file) => file.slice(0, -'.ts'.length));
const [name, ...args] = process.argv.slice(2);

if (name === undefined || !names.includes(name)) {
  console.error(`Name one of these benchmarks: ${names.join(', ')}.`);
  process.exitCode = 1;
} else {
  const benchmark = (await import(`./${name}.ts`)) as Benchmark;
  await benchmark.run(args);
}
