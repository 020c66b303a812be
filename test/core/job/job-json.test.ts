import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { jobFromJson, jobToJson } from '../../../core/job/job-json.ts';
import { JOB_SCHEMA, type Job } from '../../../core/job/schema.ts';
import { jobSample, jobWithSide, lap, layoutOfMany, panel, sideSample, split } from './sample-job.ts';

/** The sample as plain data with the value at `path` replaced, as a hand-edited file would have it. */
function documentWith(path: readonly (string | number)[], value: unknown, job: Job = jobSample()): unknown {
  const document = JSON.parse(jobToJson(job)) as Record<string | number, unknown>;
  let holder = document;
  for (const key of path.slice(0, -1)) holder = holder[key] as Record<string | number, unknown>;
  if (value === undefined) delete holder[path.at(-1)!];
  else holder[path.at(-1)!] = value;
  return document;
}

function problemOf(given: unknown) {
  const result = jobFromJson(given);
  if (result.ok) throw new Error('a broken job was taken');
  expect(result.problem.message).toMatch(/^.+\.$/);
  expect(result.problem.message).not.toMatch(/\n/);
  expect(result.problem.remedy.length).toBeGreaterThan(10);
  return result.problem;
}

describe('job files', () => {
  it('reads back what it wrote, byte for byte', () => {
    const text = jobToJson(jobSample());
    const read = jobFromJson(text);
    expect(read).toMatchObject({ ok: true, value: jobSample() });
    expect(read.ok && jobToJson(read.value)).toBe(text);
  });

  it('writes equal jobs as equal bytes, whatever the order of their fields', () => {
    const job = jobSample();
    const reversed = Object.fromEntries(Object.entries(job).reverse()) as Job;
    expect(Object.keys(reversed)).not.toEqual(Object.keys(job));
    expect(jobToJson(reversed)).toBe(jobToJson(job));
    expect(jobToJson(job)).toMatch(/^\{\n {2}"format": "panelwright-job",\n {2}"version": 1,\n/);
    expect(jobToJson(job)).toMatch(/\}\n$/);
  });

  it('refuses to write what is no job', () => {
    expect(() => jobToJson({ ...jobSample(), scale: Number.NaN })).toThrow();
  });

  it('names the place of a wrong field', () => {
    const place = ['sides', 0, 'layout', 'joints', 0, 'atMm'];
    expect(problemOf(documentWith(place, 'left'))).toEqual({
      code: 'job-field',
      message:
        'The job is not valid: sides[0].layout.joints[0].atMm must be a finite number, but it is “left”.',
      remedy: 'Correct that field and try again.',
    });
  });

  it.each([
    ['a missing field', ['customer'], undefined, /customer is missing/],
    [
      'a negative allowance',
      ['sides', 0, 'layout', 'joints', 1, 'firstMm'],
      -3,
      /joints\[1\]\.firstMm must be at least 0, but it is -3/,
    ],
    ['scale 0', ['scale'], 0, /scale must be greater than 0, but it is 0/],
    ['a negative scale', ['scale'], -7, /scale must be greater than 0/],
    [
      'NaN',
      ['printer', 'rollWidthMm'],
      Number.NaN,
      /printer\.rollWidthMm must be a finite number, but it is NaN/,
    ],
    [
      'Infinity',
      ['sides', 0, 'bleed', 'left'],
      Number.POSITIVE_INFINITY,
      /bleed\.left must be a finite number/,
    ],
    ['an unknown field', ['printer', 'color'], 'red', /printer has the unknown field “color”/],
    [
      'a wrong choice',
      ['sides', 0, 'front'],
      'up',
      /sides\[0\]\.front must be "left" or "right" or "none", but it is “up”/,
    ],
    ['a wrong date', ['date'], '25.11.2026', /date must be a date such as 2026-11-25/],
    ['an empty name', ['name'], '', /name must have at least 1 character/],
    [
      'a side of zero width',
      ['sides', 0, 'artworkRect', 'widthMm'],
      0,
      /artworkRect\.widthMm must be greater than 0/,
    ],
    [
      'a wrong side code',
      ['sides', 0, 'code'],
      'lh',
      /sides\[0\]\.code is not valid: use 1 to 6 capital letters/,
    ],
    ['no list', ['sides'], {}, /sides must be a list, but it is an object/],
    [
      'a region that is neither panel nor run',
      ['sides', 0, 'layout', 'kind'],
      'grid',
      /sides\[0\]\.layout\.kind/,
    ],
  ])('says what is wrong: %s', (_, path, value, message) => {
    const problem = problemOf(documentWith(path, value));
    expect(problem.code).toBe('job-field');
    expect(problem.message).toMatch(message);
  });

  it('JOB3 refuses a newer version with a code of its own', () => {
    const problem = problemOf(documentWith(['version'], 4));
    expect(problem.code).toBe('job-newer-version');
    expect(problem.message).toBe('The job file is of version 4; this program reads versions up to 1.');
  });

  it.each([
    [undefined, 'missing'],
    ['0123456789abcdef', '"0123456789abcdef"'],
    [7, '7'],
  ])('JOB3 refuses another draft of its version, whose schema is %j', (schema, found) => {
    expect(problemOf(documentWith(['schema'], schema))).toEqual({
      code: 'job-other-draft',
      message: `The job file was written by another draft of version 1: “schema” is ${found}, and this program reads “${JOB_SCHEMA}”.`,
      remedy:
        'Open it with the program that wrote it, or begin the job again from its artwork; the file was left as it is.',
    });
  });

  it.each([[undefined], ['1'], [0], [1.5], [null]])('JOB3 refuses the version %s', (version) => {
    expect(problemOf(documentWith(['version'], version)).code).toBe('job-version-unknown');
  });

  it.each([[''], ['{'], ['%PDF-1.7'], ['{"format": "panelwright-job",}']])(
    'refuses text that is not JSON: %j',
    (text) => {
      expect(problemOf(text).code).toBe('job-not-json');
    },
  );

  it.each([['null'], ['[]'], ['{}'], ['{"format":"other"}'], ['3']])(
    'refuses JSON that is no job: %s',
    (text) => {
      expect(problemOf(text).code).toBe('job-other-format');
    },
  );

  it('takes a byte order mark in front of the text', () => {
    expect(jobFromJson(`\uFEFF${jobToJson(jobSample())}`).ok).toBe(true);
  });

  it('says in its own words where text stops to be JSON', () => {
    const sentence = (text: string) => problemOf(text).message;
    const is = 'The job file is not valid JSON:';
    expect(sentence('{"format":')).toBe(`${is} it ends too early.`);
    expect(sentence('{"a": 1,\n"b": 2,}')).toBe(`${is} it cannot be read from line 2, column 8.`);
    expect(sentence('{"a": NaN}')).toBe(`${is} it cannot be read at "{"a": NaN}".`);
  });

  it('survives values nested a hundred thousand deep', () => {
    const text = `{"format":"panelwright-job","version":1,"sides":${'['.repeat(100_000)}${']'.repeat(100_000)}}`;
    expect(problemOf(text).code).toBe('job-nested-too-deep');
  });

  it('any damage to a job file gives a job or one sentence, never a crash', () => {
    const paths = [...pathsOf(JSON.parse(jobToJson(jobSample())))];
    const damage = fc.oneof(
      fc.jsonValue({ maxDepth: 2 }),
      fc.constantFrom<unknown>(-1, 0, 1e308, 0.5, '', '1290', null, [], {}, undefined, Number.NaN),
    );
    fc.assert(
      fc.property(fc.constantFrom(...paths), damage, (path, value) => {
        const result = jobFromJson(documentWith(path, value));
        if (result.ok) expect(jobFromJson(jobToJson(result.value))).toEqual(result);
        else expect(result.problem.message).toMatch(/^[^\n]+\.$/);
      }),
      { numRuns: 600 },
    );
  });

  it('a field named __proto__ changes no other field', () => {
    const text = jobToJson(jobSample()).replace(
      '"name": "Bookmobile"',
      '"name": "Bookmobile", "__proto__": {"scale": 3}',
    );
    const read = jobFromJson(text);
    expect(read.ok ? read.value.scale : 'refused').not.toBe(3);
  });
});

/** The path of every value in a document. */
function* pathsOf(value: unknown, path: (string | number)[] = []): Generator<(string | number)[]> {
  if (path.length > 0) yield path;
  if (typeof value !== 'object' || value === null) return;
  for (const [key, inner] of Object.entries(value)) {
    yield* pathsOf(inner, [...path, Array.isArray(value) ? Number(key) : key]);
  }
}

describe('what a job must hold to', () => {
  it.each([
    ['a panel and a joint', { layout: split('vertical', [lap('p1', 1290)], [panel('p1'), panel('p2')]) }],
    ['two panels', { layout: split('vertical', [lap('j1', 1290)], [panel('p1'), panel('p1')]) }],
    ['a side and a panel', { layout: panel('s1') }],
    [
      'an area and a panel',
      { noSeamAreas: [{ id: 'p2', name: 'Phone', rect: { xMm: 1, yMm: 2, widthMm: 3, heightMm: 4 } }] },
    ],
  ])('refuses one id for %s', (_, side) => {
    const problem = problemOf(jobWithSide(side));
    expect(problem.code).toBe('id-twice');
    expect(problem.message).toMatch(/“(p1|s1|p2)” is used twice, at sides\[0\]/);
  });

  it('refuses one id in two sides', () => {
    const other = sideSample({ id: 's2', code: 'RH' });
    expect(problemOf(jobSample({ sides: [sideSample(), other] })).message).toMatch(
      /“j1” is used twice, at sides\[0\]\.layout\.joints\[0\]\.id and at sides\[1\]\.layout\.joints\[0\]\.id/,
    );
  });

  it('refuses one code for two sides', () => {
    const other = sideSample({ id: 's2', name: 'Other side', layout: panel('p9') });
    const problem = problemOf(jobSample({ sides: [sideSample(), other] }));
    expect(problem.code).toBe('side-code-twice');
    expect(problem.message).toBe(
      'The sides “Left side” and “Other side” (sides[1].code) both have the code LH.',
    );
  });

  it('refuses a run whose parts are not one more than its joints', () => {
    const layout = split('vertical', [lap('j1', 1290), lap('j2', 2000)], [panel('p1'), panel('p2')]);
    expect(problemOf(jobWithSide({ layout })).message).toBe(
      'The split at sides[0].layout has 2 joints and 2 parts.',
    );
  });

  it('refuses seams out of order', () => {
    const layout = split(
      'vertical',
      [lap('j1', 2710), lap('j2', 1290)],
      [panel('p1'), panel('p2'), panel('p3')],
    );
    const problem = problemOf(jobWithSide({ layout }));
    expect(problem.code).toBe('seam-order');
    expect(problem.message).toMatch(/sides\[0\]\.layout\.joints\[1\]\.atMm/);
  });

  it('refuses two seams at one place', () => {
    const layout = split(
      'vertical',
      [lap('j1', 1290), lap('j2', 1290)],
      [panel('p1'), panel('p2'), panel('p3')],
    );
    expect(problemOf(jobWithSide({ layout })).code).toBe('seam-order');
  });

  it.each([[-1], [0], [6130], [6131]])('refuses a seam at %s mm of a side that is 6130 mm wide', (atMm) => {
    const layout = split('vertical', [lap('j1', atMm)], [panel('p1'), panel('p2')]);
    expect(problemOf(jobWithSide({ layout })).code).toBe('seam-outside-region');
  });

  it('holds a nested seam to its own region', () => {
    const nested = split('vertical', [lap('j2', 1200)], [panel('p2'), panel('p3')]);
    const layout = split('vertical', [lap('j1', 1290)], [panel('p1'), nested]);
    expect(problemOf(jobWithSide({ layout })).message).toMatch(
      /sides\[0\]\.layout\.parts\[1\]\.joints\[0\]\.atMm\) is outside its region, which reaches from 1290 to 6130 mm/,
    );
  });

  it('refuses a butt joint with an overlap', () => {
    const layout = split('vertical', [lap('j1', 1290, { kind: 'butt' })], [panel('p1'), panel('p2')]);
    expect(problemOf(jobWithSide({ layout })).message).toMatch(
      /butt seam at 1290 mm .* has an overlap of 25 mm/,
    );
  });

  it('refuses a side that is no size for a vehicle', () => {
    expect(problemOf(jobSample({ scale: 900 })).code).toBe('side-size');
    expect(problemOf(jobSample({ scale: 0.001 })).code).toBe('side-size');
  });

  it('refuses a body line that ends before it begins, and a finding acknowledged twice', () => {
    const line = { id: 'b1', name: 'Belt', kind: 'crease', direction: 'horizontal', atMm: 900 } as const;
    expect(problemOf(jobWithSide({ bodyLines: [{ ...line, extent: { fromMm: 50, toMm: 20 } }] })).code).toBe(
      'line-extent',
    );
    const given = { finding: 'lap-narrow/s1//j1///', by: 'Ida', note: '' };
    expect(problemOf(jobSample({ acknowledgements: [given, given] })).code).toBe('acknowledged-twice');
  });

  it('takes a thousand seams and refuses runs nested past all reason', () => {
    const job = jobWithSide({ layout: layoutOfMany(1001) });
    expect(jobFromJson(jobToJson(job)).ok).toBe(true);
    let layout = panel('p0');
    for (let depth = 1; depth <= 66; depth++) layout = split('vertical', [], [layout]);
    expect(problemOf(jobWithSide({ layout })).code).toBe('layout-too-deep');
  });
});
