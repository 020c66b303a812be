/** The blocks of the ticket, in order. */

import type { FontMetrics } from '../drawing/font-library.ts';
import type { Finding } from '../findings/finding.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import type { JobEstimates } from '../production/estimate.ts';
import type { FilmProduction } from '../production/film-production.ts';
import { listBlock, signOffRow } from './blocks.ts';
import { colorStripBlocks } from './color-strip-block.ts';
import { fillBlocks } from './fill-rows.ts';
import { findingEntries } from './finding-entries.ts';
import type { FlowBlock } from './flow.ts';
import type { SheetContext, SheetOptions } from './sheet-context.ts';
import type { SheetSizeName } from './sheet-size.ts';
import { CAUTIONS, checksBlock, packBlock, turnedCautions } from './ticket-checks.ts';
import { estimatesBlock, togetherBlock } from './ticket-estimates.ts';
import { type OperatorKnown, operatorBlock } from './ticket-operator.ts';
import {
  daysBlocks,
  materialBlock,
  panelsBlock,
  setsBlocks,
  stripBlocks,
  trimBlocks,
} from './ticket-prints.ts';

export interface TicketBlocks {
  /** Before everything else. */
  readonly first: readonly FlowBlock[];
  readonly tables: readonly FlowBlock[];
}

export interface TicketOptions extends SheetOptions {
  readonly fonts: FontMetrics;
  /** Sheet size; absent: the job's sheet size. */
  readonly sheet?: SheetSizeName;
  /** All findings of the job, see core/checks/findings/job-findings.ts. */
  readonly findings: readonly Finding[];
  readonly operator?: OperatorKnown;
  /** The film of this ticket, where the job has several; see film-tickets.ts. */
  readonly film?: {
    readonly title: string;
    /** The estimate for all films together, on the ticket that shows it. */
    readonly together: JobEstimates | undefined;
  };
}

export function ticketBlocks(
  context: SheetContext,
  layouts: readonly SideLayout[],
  production: FilmProduction,
  { findings, operator = {}, film }: TicketOptions,
): TicketBlocks {
  const { job } = context;
  const wanted = job.sheets?.ticket ?? {};
  const isMoneyWanted = wanted.estimates || wanted.cost;
  const entries = findingEntries(job, layouts, findings);
  const first = [
    ...colorStripBlocks(context),
    ...(entries.length > 0 ? [listBlock(context, 'Findings', entries)] : []),
  ];
  const tables = [
    materialBlock(context, production, operator),
    ...daysBlocks(context, production),
    ...setsBlocks(context, production, operator.record ?? {}),
    ...stripBlocks(context, production),
    panelsBlock(context, layouts, production),
    ...fillBlocks(context, production),
    ...trimBlocks(context, layouts),
    checksBlock(context, layouts, production),
    ...(wanted.packing ? [packBlock(context, layouts)] : []),
    operatorBlock(context, layouts, production, operator),
    listBlock(context, 'Cautions', [...turnedCautions(layouts, production), ...CAUTIONS]),
    signOffRow(context, 'Sign-off', ['Printed', 'Laminated', 'Packed']),
    ...(isMoneyWanted ? [estimatesBlock(context, production, wanted)] : []),
    ...(isMoneyWanted && film?.together ? [togetherBlock(context, production, film.together, wanted)] : []),
  ];
  return { first, tables };
}
