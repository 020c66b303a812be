/**
 * The floor plan of the house, read from the map in DEVELOPERS.md, and what breaks it. A room imports from rooms on lower
 * floors only, types included: the type that a lower room borrows from a higher one today is the value that it borrows
 * tomorrow.
 */
import { posix } from 'node:path';
import { parseSync } from 'vite';
import { firstOf, itemAt, present, valueAt } from '../core/measure/present.ts';

/** Which buildings a building may import from. */
const BUILDINGS: Readonly<Record<string, { readonly from: readonly string[]; readonly reason: string }>> = {
  core: {
    from: ['core'],
    reason: 'core is pure: the same rules run in a process, a window, a test and a terminal',
  },
  main: { from: ['main', 'core', 'assets'], reason: 'services must run headless, without any screen' },
  renderer: {
    from: ['renderer', 'core'],
    reason: 'the screens reach main only through the contract, so that they also run in a browser',
  },
};

const PACKAGES_OF_CORE = new Set(['zod', 'pdf-lib', 'fontkit', 'lean-qr', 'ml-matrix', 'exifreader']);
const PACKAGES_OF_MAIN_ALONE = /^(node:|electron$|better-sqlite3)/;

/** Host objects need no pattern: core is compiled without Node's and the page's types. */
const IMPURITIES: readonly (readonly [RegExp, string])[] = [
  [/\bDate\.now\(|\bnew Date\(\)/, 'the clock: take the time as a value, or the same job gives other bytes'],
  [/\bMath\.random\(|\bcrypto\.randomUUID\(/, 'chance: take the number or id as a value'],
];

const MAP_ROW = /^\| (\d+) \| `([a-z0-9/-]+)\/` \| .+ \|$/gm;
/** `import('…')`, as a value or as a type. */
const IMPORT_CALL = /\bimport\(\s*['"]([^'"]+)['"]/g;

/** The floor of each room, by its folder. */
export function floorsFromMap(developersGuide: string): ReadonlyMap<string, number> {
  return new Map([...developersGuide.matchAll(MAP_ROW)].map(([, floor, room = '']) => [room, Number(floor)]));
}

/** One sentence for each import that breaks the plan. `sources` holds the text of each source file by its path. */
export function importProblems(
  sources: ReadonlyMap<string, string>,
  floors: ReadonlyMap<string, number>,
): string[] {
  const imports = new Map([...sources].map(([file, text]) => [file, importsOf(file, text)]));
  return [
    ...roomProblems(sources, floors),
    ...[...imports].flatMap(([file, targets]) =>
      targets.flatMap((target) => importProblem(file, target, floors)),
    ),
    ...circles(imports).map((files) => `These files import each other: ${files.join(' → ')}`),
    ...[...sources].flatMap(([file, text]) => impurities(file, text)),
  ];
}

function importsOf(file: string, text: string): string[] {
  const { module } = parseSync(file, text);
  const requests = [
    ...module.staticImports.map(({ moduleRequest }) => moduleRequest.value),
    ...module.staticExports.flatMap(({ entries }) =>
      entries.flatMap(({ moduleRequest }) => moduleRequest?.value ?? []),
    ),
    ...[...text.matchAll(IMPORT_CALL)].map((match) => itemAt(match, 1)),
  ];
  const resolved = (request: string): string =>
    request.startsWith('.') ? posix.join(posix.dirname(file), request) : request;
  return [...new Set(requests.map(resolved))];
}

function roomProblems(sources: ReadonlyMap<string, string>, floors: ReadonlyMap<string, number>): string[] {
  const rooms = new Set([...sources.keys()].map((file) => posix.dirname(file)));
  return [
    ...[...rooms]
      .filter((room) => !floors.has(room))
      .map((room) => `${room}/ is not on the map in DEVELOPERS.md: give it a floor and a line`),
    ...[...floors.keys()]
      .filter((room) => !rooms.has(room))
      .map((room) => `${room}/ is on the map in DEVELOPERS.md but holds no source`),
  ];
}

function importProblem(file: string, target: string, floors: ReadonlyMap<string, number>): string[] {
  const top = topOf(file);
  const { from, reason } = present(BUILDINGS[top], `The building ${top}`);
  const refused = (why: string): string[] => [`${file} imports ${target}: ${why}`];
  if (!/^[a-z]+\/.*\.(tsx?|css)$/.test(target) || target.startsWith('@')) {
    if (top === 'core' && !PACKAGES_OF_CORE.has(firstOf(target.split('/')))) return refused(reason);
    return top === 'renderer' && PACKAGES_OF_MAIN_ALONE.test(target) ? refused(reason) : [];
  }
  if (!from.includes(topOf(target))) return refused(reason);
  const [room, other] = [posix.dirname(file), posix.dirname(target)];
  if (room === other || topOf(target) !== top || target.endsWith('.css')) return [];
  const [floor, lower] = [floors.get(room) ?? 0, floors.get(other) ?? 0];
  return lower < floor
    ? []
    : refused(
        `${room}/ is on floor ${floor} and ${other}/ on floor ${lower}; a room builds on lower floors only`,
      );
}

const topOf = (path: string): string => path.slice(0, path.indexOf('/'));

/** Groups of files that reach each other, each in the order of its imports (Tarjan 1972). */
function circles(imports: ReadonlyMap<string, readonly string[]>): string[][] {
  const found: string[][] = [];
  const order = new Map<string, number>();
  const lowest = new Map<string, number>();
  const open: string[] = [];
  const visit = (file: string): void => {
    order.set(file, order.size);
    lowest.set(file, valueAt(order, file));
    open.push(file);
    for (const target of valueAt(imports, file)) {
      if (!imports.has(target)) continue;
      if (!order.has(target)) visit(target);
      if (open.includes(target)) lowest.set(file, Math.min(valueAt(lowest, file), valueAt(lowest, target)));
    }
    if (lowest.get(file) !== order.get(file)) return;
    const circle = open.splice(open.indexOf(file));
    if (circle.length > 1) found.push(circle);
  };
  for (const file of imports.keys()) if (!order.has(file)) visit(file);
  return found;
}

function impurities(file: string, text: string): string[] {
  if (topOf(file) !== 'core') return [];
  const code = text.replace(/\/\*[\s\S]*?\*\/|\/\/[^\n]*/g, '').replace(/'(?:[^'\\\n]|\\.)*'/g, "''");
  return IMPURITIES.flatMap(([pattern, reason]) => {
    const match = pattern.exec(code);
    return match ? [`${file} uses ${match[0]}: ${reason}`] : [];
  });
}
