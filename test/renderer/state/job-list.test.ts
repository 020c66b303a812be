import { beforeEach, expect, it, vi } from 'vitest';

interface Asked {
  readonly text: string;
  readonly offset: number;
  readonly limit: number;
  answer(reply?: { readonly total?: number; readonly isRefused?: boolean }): Promise<void>;
}

const asked: Asked[] = [];
vi.mock('../../../renderer/client/client.ts', () => ({
  ask: (_verb: string, { text, offset, limit }: { text: string; offset: number; limit: number }) =>
    new Promise((resolve) => {
      const jobsFrom = (total: number) =>
        Array.from({ length: Math.max(0, Math.min(limit, total - offset)) }, (_, i) => ({
          id: `${text}${offset + i}`,
        }));
      const answer = async ({ total = 100_000, isRefused = false } = {}) => {
        resolve(
          isRefused
            ? { ok: false, problem: { code: 'none', message: 'No.', remedy: 'Wait.' } }
            : { ok: true, value: { jobs: jobsFrom(total), total } },
        );
        await new Promise((done) => setTimeout(done));
      };
      asked.push({ text, offset, limit, answer });
    }),
}));
vi.resetModules();
const { changeFilter, jobAt, jobList, readJobList, wantJobs } = await import(
  '../../../renderer/state/job-list.ts'
);

const idAt = (place: number) => jobAt(jobList.value!, place)?.id;

beforeEach(async () => {
  changeFilter({ text: '' });
  wantJobs(0, 20);
  while (asked.length > 0) await asked.shift()!.answer();
});

it('a list of a hundred thousand jobs is read only where it is looked at', async () => {
  expect(jobList.value!.total).toBe(100_000);
  expect(idAt(0)).toBe('0');
  expect(idAt(60)).toBeUndefined();
  wantJobs(99_980, 100_000);
  expect(asked).toMatchObject([{ offset: 99_960, limit: 60 }]);
  await asked.shift()!.answer();
  expect(idAt(99_999)).toBe('99999');
  wantJobs(99_960, 99_990);
  wantJobs(3, 40);
  expect(asked).toEqual([]);
});

it('a list that flies by is asked for where it stops, one question at a time', async () => {
  for (let place = 1000; place <= 9000; place += 100) wantJobs(place, place + 30);
  expect(asked).toHaveLength(1);
  await asked.shift()!.answer();
  expect(asked).toMatchObject([{ offset: 9000, limit: 60 }]);
  await asked.shift()!.answer();
  expect(asked).toEqual([]);
});

it('rows across two pages come with one answer', async () => {
  wantJobs(530, 560);
  expect(asked).toMatchObject([{ offset: 480, limit: 120 }]);
  await asked.shift()!.answer();
  expect([idAt(530), idAt(559)]).toEqual(['530', '559']);
});

it('an answer that a later search has overtaken is dropped, and what was shown stays until the new one comes', async () => {
  changeFilter({ text: 'a' });
  changeFilter({ text: 'al' });
  const [first, second] = asked.splice(0);
  expect(idAt(0)).toBe('0');
  await second!.answer({ total: 3 });
  await first!.answer({ total: 7 });
  expect(jobList.value!.total).toBe(3);
  expect(idAt(2)).toBe('al2');
});

it('what was read before another window saved a job is read again', async () => {
  wantJobs(200, 220);
  await asked.shift()!.answer({ total: 100_001 });
  expect(jobList.value!.total).toBe(100_001);
  expect(idAt(0)).toBeUndefined();
  wantJobs(0, 20);
  expect(asked).toHaveLength(1);
});

it('a question that is refused is asked again only when somebody looks again', async () => {
  wantJobs(700, 720);
  await asked.shift()!.answer({ isRefused: true });
  expect(asked).toEqual([]);
  void readJobList();
  expect(asked).toMatchObject([{ offset: 660, limit: 60 }]);
});
