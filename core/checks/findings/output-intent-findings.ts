import { type Finding, finding, withFigure } from '../../findings/finding.ts';
import { listText } from '../../measure/list-text.ts';
import { firstOf } from '../../measure/present.ts';
import type { PageCheck } from '../check-context.ts';
import type { OutputIntent } from '../scan/schema.ts';

const PDFX = 'GTS_PDFX';
const INKS = 4;

/** The printing condition that the file was made for, where it states several or contradicts itself. Keeps AC11. */
export function outputIntentFindings(checks: readonly PageCheck[]): Finding[] {
  const [first] = checks;
  if (first === undefined) return [];
  const { outputIntents } = first.scan.document;
  const pdfx = outputIntents.filter(({ kind }) => kind === PDFX);
  const several =
    pdfx.length > 1
      ? [
          withFigure(
            pdfx.length,
            finding(
              'output-intents-several',
              'warn',
              {},
              `The file names ${pdfx.length} printing conditions for PDF/X: ${conditionsText(pdfx)}.`,
              'Ask for a PDF with one output intent, or agree on which of them counts.',
            ),
          ),
        ]
      : [];
  return [...several, ...checks.flatMap((check) => pageFindings(check, pdfx))];
}

function pageFindings({ page }: PageCheck, pdfx: readonly OutputIntent[]): Finding[] {
  const own = page.outputIntents.filter(({ kind }) => kind === PDFX);
  const other = own.filter(({ condition }) => pdfx.some((document) => document.condition !== condition));
  const isInInks = page.spaces.some(({ colors }) => colors === 'DeviceCMYK');
  const light = [...own, ...pdfx].filter(
    ({ profileComponents }) => profileComponents !== undefined && profileComponents !== INKS,
  );
  return [
    ...(other.length > 0
      ? [
          finding(
            'output-intents-disagree',
            'warn',
            { page: page.number },
            `Page ${page.number} is made for ${conditionsText(other)}, the file for ${conditionsText(pdfx)}.`,
            'Ask which printing condition counts, and for a PDF that says so throughout.',
          ),
        ]
      : []),
    ...(isInInks && light.length > 0
      ? [
          finding(
            'output-intent-not-inks',
            'note',
            { page: page.number },
            `Page ${page.number} is painted in CMYK, but the profile of its output intent is for ${firstOf(light).profileComponents} components.`,
            'Ask which CMYK is meant, or agree on a profile for the RIP.',
          ),
        ]
      : []),
  ];
}

const conditionsText = (intents: readonly OutputIntent[]): string =>
  listText([
    ...new Set(intents.map(({ condition }) => (condition === '' ? 'one without a name' : condition))),
  ]);
