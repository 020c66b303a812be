import { afterEach, describe, expect, it, vi } from 'vitest';

const ID = { id: 'a' };
const BAD = { ok: false, problem: { code: 'bad-reply' } };
/** What an answer must not be: nothing, half an envelope, a problem without a remedy, a reply of another verb. */
const BAD_ANSWERS = [
  undefined,
  null,
  'text',
  {},
  { ok: true },
  { ok: false },
  { ok: false, problem: { code: 'x', message: 'y' } },
  { ok: true, value: { revision: '1' } },
  { ok: true, value: { revision: 1, more: 2 } },
];

async function client(globals: Record<string, unknown>) {
  vi.resetModules();
  for (const [name, value] of Object.entries(globals)) vi.stubGlobal(name, value);
  return await import('../../../renderer/client/client.ts');
}

afterEach(() => vi.unstubAllGlobals());

describe('answers through the desktop’s bridge', () => {
  const desktop = (answer: () => Promise<unknown>) =>
    client({
      window: {
        panelwrightDesktop: {
          ask: () => ({ answer: answer(), cancel: () => undefined }),
          dropped: answer,
        },
      },
    });

  it('become a problem where they do not fit the contract', async () => {
    for (const answer of BAD_ANSWERS) {
      const { ask, offerFile } = await desktop(async () => answer);
      expect(await ask('job:close', ID)).toMatchObject(BAD);
      expect(await offerFile(new File([], 'art.pdf'))).toMatchObject(BAD);
    }
  });

  it('arrive where they do, and say that nobody answers where the bridge fails', async () => {
    const { ask } = await desktop(async () => ({ ok: true, value: {} }));
    expect(await ask('job:close', ID)).toEqual({ ok: true, value: {} });
    const failing = await desktop(() => Promise.reject(new Error('gone')));
    const unreachable = { ok: false, problem: { code: 'unreachable' } };
    expect(await failing.ask('job:close', ID)).toMatchObject(unreachable);
    expect(await failing.offerFile(new File([], 'art.pdf'))).toMatchObject(unreachable);
  });

  it('keep the code of a problem, whatever else it carries', async () => {
    const problem = { code: 'output-blocked', message: 'Nothing was written.', remedy: 'Correct it.' };
    const { ask } = await desktop(async () => ({ ok: false, problem: { ...problem, findings: [] } }));
    expect(await ask('job:close', ID)).toEqual({ ok: false, problem });
  });
});

describe('answers of the loopback host', () => {
  const loopback = (lines: string) =>
    client({
      window: {},
      sessionStorage: { getItem: () => 'key' },
      fetch: async () => new Response(lines, { status: 200 }),
    });

  it('become a problem where they do not fit the contract', async () => {
    const bodies = BAD_ANSWERS.map((answer) => JSON.stringify({ answer }));
    for (const body of [...bodies, 'no JSON\n', '7\n', '{"answer":{"ok":true,"value":{"$bytes":"*"}}}\n']) {
      const { ask } = await loopback(body);
      expect(await ask('job:close', ID), body).toMatchObject(BAD);
    }
  });

  it('arrive after progress, of which what does not fit is left out', async () => {
    const progress = { what: 'Cutting', done: 1, total: 2 };
    const lines = [{ progress: { what: 7 } }, { progress }, { answer: { ok: true, value: {} } }];
    const { ask } = await loopback(lines.map((line) => `${JSON.stringify(line)}\n`).join(''));
    const heard: unknown[] = [];
    expect(await ask('job:close', ID, { onProgress: (each) => heard.push(each) })).toEqual({
      ok: true,
      value: {},
    });
    expect(heard).toEqual([progress]);
  });
});
