/** Line drawings for tools, 18 × 18, in the color of the text beside them. */
const SHAPES = {
  select: 'M4 2l9 8.5-4.2.4 2.4 4.6-2 1-2.3-4.7L4 14.5z',
  'seam-vertical': 'M2 4h14v10H2zM9 1.5v15M6.5 6.5L9 8M6.5 10L9 11.5',
  'seam-horizontal': 'M4 2h10v14H4zM1.5 9h15M6.5 6.5L8 9M10 6.5L11.5 9',
  'line-vertical': 'M9 1v4M9 7v1.5M9 10.5v4M9 16.5v.5M4 3v12M14 3v12',
  'line-horizontal': 'M1 9h4M7 9h1.5M10.5 9h4M16.5 9h.5M3 4h12M3 14h12',
  'line-points': 'M2 13.5L7 9l4 2.5 5-7M1 12.5h2v2H1zM6 8h2v2H6zM10 10.5h2v2h-2zM15 3.5h2v2h-2z',
  'no-seam-area': 'M2.5 4h13v10h-13zM2.5 9l5-5M4 14L14 4M9.5 14l6-6',
  ground: 'M2.5 4h13v10h-13zM3 4.5L15 13.5M15 4.5L3 13.5M9 4v10M2.5 9h13',
  'no-film-area': 'M2.5 4h13v10h-13zM2.5 4l13 10M15.5 4l-13 10',
  door: 'M4 1.5h10v15H4zM4 1.5L13 9 4 16.5',
  'guide-vertical': 'M9 1v16M5 4.5L2 9l3 4.5M13 4.5L16 9l-3 4.5',
  'guide-horizontal': 'M1 9h16M4.5 5L9 2l4.5 3M4.5 13L9 16l4.5-3',
  distance: 'M3 15L15 3M1.5 13L5 16.5M13 1.5L16.5 5',
  measure: 'M2 6h14v6H2zM5 6v2.5M8 6v3.5M11 6v2.5M14 6v3.5',
  side: 'M3 3h5M3 3v5M15 15h-5M15 15v-5M3 15v-3M3 15h3M15 3v3M15 3h-3',
  undo: 'M6 3L2.5 6.5 6 10M2.5 6.5H11a4 4 0 0 1 0 8H7',
  redo: 'M12 3l3.5 3.5L12 10M15.5 6.5H7a4 4 0 0 0 0 8h4',
  import: 'M9 2v8.5M5.5 7L9 10.5 12.5 7M2.5 12v3.5h13V12',
} as const;

export type IconName = keyof typeof SHAPES;

export function Icon({ name }: { readonly name: IconName }) {
  return (
    <svg class="icon" viewBox="0 0 18 18" width="18" height="18" aria-hidden="true" focusable="false">
      <path d={SHAPES[name]} />
    </svg>
  );
}
