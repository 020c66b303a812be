import type { ExitCode } from '../../main/command/exit-code.ts';
import { runCommand } from '../../main/command/program.ts';
import { TEST_NOW } from './test-services.ts';

export interface CommandEnded {
  readonly code: ExitCode;
  readonly out: string;
  readonly err: string;
}

/** Runs one command line, without the program's own name, as a shell would. */
export async function commandLine(
  args: readonly string[],
  { signal = new AbortController().signal, now = (): string => TEST_NOW, locale = 'en-GB' } = {},
): Promise<CommandEnded> {
  let [out, err] = ['', ''];
  const code = await runCommand(args, {
    stdout: { write: (text) => (out += text) },
    stderr: { write: (text) => (err += text) },
    signal,
    now,
    locale,
  });
  return { code, out, err };
}
