import { listText } from '../../measure/list-text.ts';
import type { Edge } from '../../measure/rect.ts';
import type { MarkName } from './panel-marks.ts';

const MARKS = {
  label: 'the label',
  top: 'the arrow to the top',
  'check-bar': 'the check bar',
  travel: 'the arrow to the front',
  size: 'the length from tick to tick',
} as const satisfies Partial<Record<MarkName, string>>;

const EDGES: Readonly<Record<Edge, string>> = {
  left: 'on the left',
  right: 'on the right',
  top: 'at the top',
  bottom: 'at the bottom',
};

/** For the manifest: the marks that do not fit in a panel's border. */
export function omittedSentence(omitted: readonly MarkName[]): string {
  return `The border has no room for ${listText(omitted.map(markInWords))}; a wider one would hold more.`;
}

function markInWords(name: MarkName): string {
  if (name in MARKS) return MARKS[name as keyof typeof MARKS];
  const [what, edge] = name.split('-') as ['seam' | 'neighbor' | 'edge', Edge];
  if (what === 'neighbor') return `the neighbor ${EDGES[edge]}`;
  return `the line of the ${what} ${EDGES[edge]}`;
}
