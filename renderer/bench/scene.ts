/**
 * Keeps a group of SVG nodes in step with a description of them. A description is cheap, so it is made again for each
 * frame; only nodes and attributes that differ from the last one are changed.
 */
import type { Element, G } from '@svgdotjs/svg.js';
import { valueAt } from '../../core/measure/present.ts';

export interface NodeSpec {
  /** Names the node among its siblings. */
  readonly key: string;
  readonly tag: 'g' | 'rect' | 'path' | 'text';
  readonly attrs: Readonly<Record<string, string | number>>;
  readonly text?: string;
  readonly children?: readonly NodeSpec[];
}

interface Kept {
  readonly node: Element;
  spec: NodeSpec;
  readonly children: Map<string, Kept>;
}

export class Scene {
  readonly #group: G;
  readonly #kept = new Map<string, Kept>();

  constructor(group: G) {
    this.#group = group;
  }

  /** Makes the group show just these nodes, the first lowest. */
  show(specs: readonly NodeSpec[]): void {
    syncNodes(this.#group, this.#kept, specs);
  }
}

function syncNodes(parent: Element, kept: Map<string, Kept>, specs: readonly NodeSpec[]): void {
  const wanted = new Set(specs.map(({ key }) => key));
  for (const [key, { node }] of kept) {
    if (wanted.has(key)) continue;
    node.remove();
    kept.delete(key);
  }
  for (const [index, spec] of specs.entries()) {
    const existing = kept.get(spec.key);
    if (existing) changeNode(existing, spec);
    else kept.set(spec.key, makeNode(parent, spec));
    const { node } = valueAt(kept, spec.key);
    if (parent.node.childNodes[index] !== node.node)
      parent.node.insertBefore(node.node, parent.node.childNodes[index] ?? null);
  }
}

function makeNode(parent: Element, spec: NodeSpec): Kept {
  const node = parent.element(spec.tag);
  node.attr(spec.attrs);
  if (spec.text !== undefined) node.node.textContent = spec.text;
  const made: Kept = { node, spec, children: new Map() };
  if (spec.children) syncNodes(node, made.children, spec.children);
  return made;
}

function changeNode(kept: Kept, spec: NodeSpec): void {
  const { node, spec: before } = kept;
  if (before === spec) return;
  for (const name of Object.keys(before.attrs)) {
    if (!(name in spec.attrs)) node.node.removeAttribute(name);
  }
  for (const [name, value] of Object.entries(spec.attrs)) {
    if (before.attrs[name] !== value) node.attr(name, value);
  }
  if (before.text !== spec.text) node.node.textContent = spec.text ?? '';
  if (spec.children || kept.children.size > 0) syncNodes(node, kept.children, spec.children ?? []);
  kept.spec = spec;
}
