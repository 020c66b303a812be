import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createCanvas } from '@napi-rs/canvas';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { jobFromJson, jobToJson } from '../../../core/job/job-json.ts';
import { linePath } from '../../../core/job/line-path.ts';
import type { BodyLine, Side } from '../../../core/job/schema.ts';
import { EXIT } from '../../../main/command/exit-code.ts';
import { commandLine } from '../../support/command-line.ts';
import { smallJob } from '../../support/small-job.ts';

let folder: string;
const at = (name: string) => join(folder, name);
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-vehicle-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

const run = (...options: string[]) =>
  commandLine(['--archive', at('archive'), 'vehicle', at('job.json'), '--side', 'LH', ...options]);
const sideNow = (): Side => {
  const job = jobFromJson(readFileSync(at('job.json'), 'utf8'));
  if (!job.ok) throw new Error(job.problem.message);
  return job.value.sides[0]!;
};
const places = (line: BodyLine) =>
  linePath(line).map(({ along, across }) => [along, Math.round(across * 1e6) / 1e6]);

it('takes body lines from a table, and gives lines of the same name their new points', async () => {
  writeFileSync(at('job.json'), jobToJson(smallJob()));
  writeFileSync(
    at('lines.csv'),
    '\ufeffline,kind,x,y\r\n"Belt, lower",crease,0,700\r\n"Belt, lower",,20 in,28 in\r\nPost,body gap,1500,100\r\n"Belt, lower",,3100,640\r\n\r\nPost,,1510,1200\r\nSill,,0,1100\r\nSill,,900,1100\r\nSill,,900,1150\r\nSill,,3100,1150\r\n',
  );
  const put = await run('--lines', at('lines.csv'));
  expect([put.code, put.err]).toEqual([EXIT.done, '']);
  expect(put.out).toContain('Side LH has 3 body lines.');
  const [belt, post, sill] = sideNow().bodyLines;
  expect(belt).toMatchObject({ name: 'Belt, lower', kind: 'crease', direction: 'horizontal' });
  expect(places(belt!)).toEqual([
    [0, 700],
    [508, 711.2],
    [3100, 640],
  ]);
  expect(post).toMatchObject({ name: 'Post', kind: 'body-gap', direction: 'vertical' });
  // A step gets a run of 1 mm.
  expect(places(sill!)).toEqual([
    [0, 1100],
    [900, 1100],
    [901, 1150],
    [3100, 1150],
  ]);
  writeFileSync(at('lines.csv'), 'y;x;Line\n710;0;Belt, lower\n710;3100;Belt, lower\n');
  await run('--lines', at('lines.csv'));
  const again = sideNow().bodyLines;
  expect(again).toHaveLength(3);
  expect(again[0]).toEqual({
    id: belt!.id,
    name: 'Belt, lower',
    kind: 'crease',
    direction: 'horizontal',
    atMm: 710,
    extent: { fromMm: 0, toMm: 3100 },
  });
});

it.each([
  ['line,x\nBelt,5', 'The first row does not name y.'],
  ['line,x,y\n', 'The table has no row below its head.'],
  ['line,x,y\nBelt,0,700\nBelt,12', 'Row 3: it has 2 cells, and the head has 3.'],
  ['line,x,y\nBelt,0,700\n,300,710', 'Row 3: it names no line.'],
  [
    'line,kind,x,y\nBelt,ridge,0,700',
    'Row 2: “ridge” is no kind of body line: crease, molding, body-gap, rivet-row.',
  ],
  ['line,kind,x,y\nBelt,crease,0,700\nBelt,molding,900,700', 'Row 3: “Belt” is a crease in an earlier row.'],
  ['line,x,y\nBelt,0,700\nBelt,about 300,710', 'Row 3: '],
  ['line,x,y\nBelt,0,700\nBelt,300,710\nBelt,100,720', '“Belt” cannot be a body line: its points turn back'],
  ['line,x,y\nBelt,0,700', '“Belt” cannot be a body line'],
])('says in one sentence what is wrong with a table, by its row: %j', async (table, sentence) => {
  writeFileSync(at('job.json'), jobToJson(smallJob()));
  const before = readFileSync(at('job.json'), 'utf8');
  writeFileSync(at('lines.csv'), table);
  const refused = await run('--lines', at('lines.csv'));
  expect(refused.code).not.toBe(EXIT.done);
  expect(refused.err).toContain(`lines.csv: ${sentence}`);
  expect(readFileSync(at('job.json'), 'utf8')).toBe(before);
});

it('lays a photo on the side by the points of a file, and says how true it lies', async () => {
  writeFileSync(at('job.json'), jobToJson(smallJob()));
  const points = (last: number) => ({
    points: [
      { xPx: 0, yPx: 0, xMm: 0, yMm: 0 },
      { xPx: 310, yPx: 0, xMm: 3100, yMm: 0 },
      { xPx: 310, yPx: 130, xMm: 3100, yMm: 1300 },
      { xPx: 0, yPx: 130, xMm: 0, yMm: 1300 },
      { xPx: 155, yPx: 65, xMm: 1550, yMm: last },
    ],
  });
  writeFileSync(at('points.json'), JSON.stringify(points(650)));
  const alone = await run('--photo-points', at('points.json'));
  expect(alone.err).toContain('Side LH has no photo that the points could belong to.');
  writeFileSync(at('side.png'), createCanvas(310, 130).toBuffer('image/png'));
  const put = await run('--photo', at('side.png'), '--photo-points', at('points.json'));
  expect([put.code, put.err]).toEqual([EXIT.done, '']);
  expect(put.out).toContain('side.png lies on it, off by at most 0 mm at its points.');
  expect(sideNow().photo).toMatchObject({
    fileName: 'side.png',
    widthPx: 310,
    heightPx: 130,
    isSquareOn: false,
  });
  writeFileSync(at('points.json'), JSON.stringify(points(690)));
  const off = await run('--photo-points', at('points.json'));
  // The fifth point is 40 mm off; the four take a share of that in a fit by least squares.
  expect(Number(/off by at most ([\d.]+) mm/.exec(off.out)![1])).toBeGreaterThan(20);
  expect(sideNow().photo!.points).toHaveLength(5);
  const square = {
    isSquareOn: true,
    points: points(650).points.slice(0, 1),
    lengths: [
      { from: { xPx: 0, yPx: 9 }, to: { xPx: 310, yPx: 9 }, mm: 3100 },
      { from: { xPx: 9, yPx: 0 }, to: { xPx: 9, yPx: 130 }, mm: 1300, of: 'height' },
    ],
  };
  writeFileSync(at('points.json'), JSON.stringify(square));
  const squared = await run('--photo-points', at('points.json'));
  expect(squared.out).toContain('It is said to be taken square to the side.');
  expect(sideNow().photo).toMatchObject(square);
  writeFileSync(at('points.json'), '{"points": [{"xPx": 0, "yPx": 0, "xMm": 0}]}');
  const wrong = await run('--photo-points', at('points.json'));
  expect(wrong.err).toContain('points.json: points[0].yMm is missing.');
});

it('puts doors, areas, recesses with depth, lines and a template onto a side, known by their names', async () => {
  writeFileSync(at('job.json'), jobToJson(smallJob()));
  const edge = (atMm: number) => ({ atMm });
  const items = {
    noFilmAreas: [
      {
        name: 'Door handle',
        kind: 'handle',
        rect: { xMm: 1420, yMm: 600, widthMm: 120, heightMm: 40 },
        clearanceMm: 15,
      },
      {
        name: 'Arch',
        kind: 'wheel-arch',
        outline: [
          { xMm: 300, yMm: 1300 },
          { xMm: 500, yMm: 900 },
          { xMm: 700, yMm: 1300 },
        ],
        clearanceMm: 0,
      },
    ],
    doors: [
      {
        name: 'Side door',
        gap: { top: edge(200), right: edge(2300), bottom: edge(1200), left: edge(1400) },
        motion: { kind: 'slides', toward: 'right', byMm: 700, passes: 'over' },
        handle: 'Door handle',
        isEdgeWrapped: true,
      },
    ],
    ground: [
      {
        name: 'Recess',
        kind: 'recess',
        rect: { xMm: 2500, yMm: 300, widthMm: 400, heightMm: 500 },
        depth: { along: 'height', shape: { kind: 'flat-bottom', depthMm: 40, flankMm: 30 } },
      },
    ],
    noSeamAreas: [{ name: 'Logo', rect: { xMm: 100, yMm: 100, widthMm: 300, heightMm: 200 } }],
    bodyLines: [{ name: 'Belt', kind: 'crease', direction: 'horizontal', atMm: 700 }],
    template: { page: 1 },
  };
  const put = async (given: object) => {
    writeFileSync(at('items.json'), JSON.stringify(given));
    return await run('--items', at('items.json'));
  };
  const first = await put(items);
  expect([first.code, first.err]).toEqual([EXIT.done, '']);
  expect(first.out).toContain(
    'Side LH has 1 body line, 2 no-film areas, 1 no-seam area, 1 door, 1 on difficult ground and a template.',
  );
  const side = sideNow();
  const handle = side.noFilmAreas.find(({ name }) => name === 'Door handle')!;
  expect(side.doors![0]).toMatchObject({ ...items.doors[0], handle: handle.id });
  expect(side.noFilmAreas.find(({ name }) => name === 'Arch')!.rect).toEqual({
    xMm: 300,
    yMm: 900,
    widthMm: 400,
    heightMm: 400,
  });
  expect(side.ground[0]!.depth).toEqual(items.ground[0]!.depth);
  // The same name is the same item.
  await put({ ground: [{ ...items.ground[0], kind: 'curve' }] });
  expect(sideNow().ground).toEqual([{ ...side.ground[0], kind: 'curve' }]);
  expect(sideNow().doors).toEqual(side.doors);
  const before = readFileSync(at('job.json'), 'utf8');
  const refused = async (given: object) => {
    const { code, err } = await put(given);
    expect(code).not.toBe(EXIT.done);
    return err;
  };
  expect(await refused({ doors: [{ ...items.doors[0], motion: { kind: 'lifts' } }] })).toContain(
    'items.json: doors[0].motion',
  );
  expect(await refused({ windows: [] })).toContain(
    'items.json: the document has the unknown field “windows”.',
  );
  expect(await refused({ noSeamAreas: [{ name: 'Logo' }] })).toContain(
    'items.json: “Logo” has neither a rectangle nor an outline (noSeamAreas[0]).',
  );
  const turned = { ...items.doors[0]!, gap: { ...items.doors[0]!.gap, left: edge(2400) } };
  expect(await refused({ doors: [turned] })).toContain(
    'items.json: The edges of the door “Side door” do not meet at four corners',
  );
  const deep = { along: 'width', shape: { kind: 'arc', depthMm: -30 } };
  expect(await refused({ ground: [{ ...items.ground[0], depth: deep }] })).toContain(
    'items.json: ground[0].depth.shape.depthMm must be greater than 0, but it is -30.',
  );
  expect(await refused({ doors: [{ ...items.doors[0], handle: 'Knob' }] })).toContain('Knob');
  expect(readFileSync(at('job.json'), 'utf8')).toBe(before);
});
