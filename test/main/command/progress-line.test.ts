import { expect, it } from 'vitest';
import { Terminal } from '../../../main/command/terminal.ts';

function terminal(isTTY: boolean) {
  const written: string[] = [];
  const write = (to: string) => ({ write: (text: string) => written.push(`${to}: ${text}`) });
  return {
    written,
    terminal: new Terminal({ stdout: write('out'), stderr: { ...write('err'), isTTY } }, false),
  };
}

it('one line says what is done and how far it is, and is gone before a result stands there', () => {
  const { written, terminal: shown } = terminal(true);
  const what = 'Reading the artwork';
  for (const done of [0, 0.371, 0.374, 0.5]) shown.printProgress({ what, done, total: 1 });
  shown.printProgress({ what: 'Copying map.pdf', done: 2.9, total: 12 });
  shown.printResult(undefined, ['Done.']);
  shown.printResult(undefined, ['Nothing more.']);
  expect(written).toEqual([
    'err: \r\u001b[KReading the artwork',
    'err: \r\u001b[KReading the artwork (37 %)',
    'err: \r\u001b[KReading the artwork (50 %)',
    'err: \r\u001b[KCopying map.pdf (3 of 12)',
    'err: \r\u001b[K',
    'out: Done.\n',
    'out: Nothing more.\n',
  ]);
});

it('a file that is written to, and not a terminal, gets no such line', () => {
  const { written, terminal: shown } = terminal(false);
  shown.printProgress({ what: 'Reading the artwork', done: 0.5, total: 1 });
  shown.printResult(undefined, ['Done.']);
  expect(written).toEqual(['out: Done.\n']);
});
