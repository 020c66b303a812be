/** An artwork page on the bench: its boxes, and the sides that are drawn on it. */
import type { ArtworkPageFacts } from '../../core/contract/verbs-artwork.ts';
import type { Job } from '../../core/job/schema.ts';
import { rectFromStored } from '../../core/job/stored-rect.ts';
import type { Rect } from '../../core/measure/rect.ts';
import type { DraftRect, Selection } from './bench-state.ts';
import { group, pxGroup, rectNode, tagNodes } from './draw-shapes.ts';
import { handleNodes } from './draw-side.ts';
import type { NodeSpec } from './scene.ts';

export interface PageLook {
  readonly job: Job;
  readonly pxPerMm: number;
  readonly selection: Selection;
  readonly draft: DraftRect | undefined;
}

export function pageNodes(page: ArtworkPageFacts, look: PageLook): readonly NodeSpec[] {
  const { job, draft } = look;
  const finished = ({ x, y, width, height }: Rect): Rect => ({
    x: x * job.scale,
    y: y * job.scale,
    width: width * job.scale,
    height: height * job.scale,
  });
  const box = (name: 'media' | 'trim') => {
    const stored = page.boxes[name];
    return stored ? [rectNode(`box ${name}`, `page-box is-${name}`, finished(rectFromStored(stored)))] : [];
  };
  const sides = job.sides.filter((side) => side.page === page.number);
  return [
    ...box('media'),
    ...box('trim'),
    ...sides.map((side) => {
      const pulled = draft?.sideId === side.id ? draft.rect : rectFromStored<'drawn'>(side.artworkRect);
      const isSelected = look.selection.kind === 'side' && look.selection.sideId === side.id;
      return sideOnPage(side.id, `${side.code}  ${side.name}`, finished(pulled), isSelected, look.pxPerMm);
    }),
    ...(draft && draft.sideId === undefined
      ? [sideOnPage('new', 'New side', finished(draft.rect), true, look.pxPerMm)]
      : []),
  ];
}

function sideOnPage(id: string, name: string, rect: Rect, isSelected: boolean, pxPerMm: number): NodeSpec {
  return group(`side ${id}`, {}, [
    rectNode('halo', 'area-halo', rect),
    rectNode('rim', isSelected ? 'page-side is-selected' : 'page-side', rect),
    pxGroup('name', rect, pxPerMm, [
      tagNodes('tag', isSelected ? 'is-panel is-selected' : 'is-panel', name, 8, 8),
    ]),
    ...(isSelected ? handleNodes(rect, pxPerMm) : []),
  ]);
}
