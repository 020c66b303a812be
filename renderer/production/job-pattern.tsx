/** Patterns that tell panels of several jobs apart without color; the job number beside each says the same in words. */

import { jobLetter } from './roll-label.ts';

/** Beginning with none. None of them slants as the hatching of film that is not printed does. */
const PATTERNS: readonly (string | undefined)[] = [
  undefined,
  'M6 0V12',
  'M5 6h2',
  'M0 6H12',
  'M-1 -1L13 13M-1 11L1 13M11 -1L13 1',
  'M6 2v8M2 6h8',
  'M0 6H12M6 0V12',
  'M3 3h6v6h-6z',
];

/** The jobs after the last pattern begin again; by then the numbers must do. */
const patternOf = (index: number): number => index % PATTERNS.length;

const patternFill = (index: number): string | undefined =>
  PATTERNS[patternOf(index)] === undefined ? undefined : `url(#job-pattern-${patternOf(index)})`;

interface JobPatternProps {
  /** Place of the job among those on the film, from 0. */
  readonly index: number;
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** Lies over the rectangle of a panel. */
export function JobPattern({ index, ...box }: JobPatternProps) {
  const fill = patternFill(index);
  return fill === undefined ? null : <rect class="job-pattern" fill={fill} {...box} />;
}

/** What the patterns are made of; once on a screen that shows any. */
export function JobPatternDefinitions() {
  return (
    <svg class="job-pattern-definitions" width="0" height="0" aria-hidden="true">
      <defs>
        {PATTERNS.map(
          (path, index) =>
            path !== undefined && (
              <pattern
                key={path}
                id={`job-pattern-${index}`}
                width="12"
                height="12"
                patternUnits="userSpaceOnUse"
              >
                <path class="job-pattern-line" d={path} />
              </pattern>
            ),
        )}
      </defs>
    </svg>
  );
}

/** A piece of the pattern with the letter of the job, for the key beside the rolls. */
export function JobSwatch({ index }: { readonly index: number }) {
  const box = { x: 1, y: 1, width: 34, height: 22 };
  return (
    <svg class="job-swatch" width="36" height="24" aria-hidden="true">
      <rect class="job-swatch-film" {...box} />
      <JobPattern index={index} {...box} />
      <text class="job-swatch-letter" x="18" y="17" text-anchor="middle">
        {jobLetter(index)}
      </text>
    </svg>
  );
}
