import { rectFromStored } from '../../job/stored-rect.ts';
import {
  type GroundStretch,
  groundDepthProblem,
  groundMeasures,
  jobGroundStretches,
} from '../../layout/ground-stretch.ts';
import { LENGTH_TOLERANCE_MM } from '../../measure/units.ts';
import { stretchText } from '../../vehicle/ground-depth.ts';
import { type Finding, finding, withFigure } from '../finding.ts';
import type { SideContext } from './finding-context.ts';

export function groundFindings(context: SideContext): Finding[] {
  return [
    ...depthFindings(context),
    ...jobGroundStretches(context.job, context.layout).flatMap((stretch) => feedFindings(context, stretch)),
  ];
}

function depthFindings({ side, length }: SideContext): Finding[] {
  return side.ground.flatMap((ground) =>
    groundMeasures(ground)
      .flatMap((measure) => groundDepthProblem(ground, measure, length) ?? [])
      .slice(0, 1)
      .map((problem) =>
        finding(
          'ground-depth-off',
          'warn',
          { sideId: side.id, itemId: ground.id, area: rectFromStored<'finished'>(ground.rect) },
          `The depth of the ${ground.kind} “${ground.name}” on side ${side.code} does not fit, so nothing is worked out from it. ${problem}`,
          'Correct its size or its depth.',
        ),
      ),
  );
}

/** Film that is fed in comes from the ends of its panel. Keeps DEP3. */
function feedFindings({ side, length }: SideContext, stretch: GroundStretch): Finding[] {
  const { ground, panel, measure, limitPercent, feedMm, spareMm } = stretch;
  if (feedMm <= LENGTH_TOLERANCE_MM) return [];
  const where = {
    sideId: side.id,
    panelId: panel.id,
    itemId: `${ground.id}-${measure}`,
    area: rectFromStored<'finished'>(ground.rect),
  };
  const about = `in the ${ground.kind} “${ground.name}”`;
  const need = `Over the ${measure} of the ${ground.kind} “${ground.name}”, ${panel.label} must cover ${length(stretch.developedMm)} where the drawing has ${length(stretch.drawnMm)}: ${stretchText(stretch.stretchPercent)} % longer; its film takes ${stretchText(limitPercent)} %.`;
  if (feedMm <= spareMm + LENGTH_TOLERANCE_MM) {
    return [
      {
        ...finding(
          'ground-feed',
          'note',
          where,
          `${need} At least ${length(feedMm)} must be fed in, and its ends have ${length(spareMm)} to spare.`,
          'Feed film in from the ends of the panel, warm it where it has to give, and post-heat all of it by the film’s data sheet.',
        ),
        about,
      },
    ];
  }
  const shortMm = feedMm - spareMm;
  return [
    {
      ...withFigure(
        shortMm,
        finding(
          'ground-feed-short',
          'warn',
          where,
          `${need} At least ${length(feedMm)} must be fed in, and its ends have ${length(spareMm)} to spare: ${length(shortMm)} too little.`,
          `Lengthen its bleed or extension by ${length(shortMm)}, put a seam at the edge of the ${ground.kind}, or leave it without film.`,
        ),
      ),
      about,
    },
  ];
}
