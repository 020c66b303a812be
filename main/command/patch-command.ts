import { jobFromJson } from '../../core/job/job-json.ts';
import type { Job } from '../../core/job/schema.ts';
import { lengthFromText } from '../../core/measure/length-from-text.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import type { Rect } from '../../core/measure/rect.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { PATCH_SHEETS } from '../../core/output/sheet-kind.ts';
import { patchPanel } from '../services/patch-panel.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import { printable, verificationLines } from './terminal.ts';

interface PatchOptions {
  readonly panel: string;
  readonly damage: string;
  readonly vehicle?: string;
  readonly reason: string;
  readonly to: string;
  readonly password?: string;
}

/** A patch over damage on an installed panel, cut from the artwork of its output. */
export const patchCommand =
  (
    idOrNumber: string,
    number: number,
    { panel, damage: typed, vehicle, reason, to, password }: PatchOptions,
  ) =>
  async ({ terminal, tools, withArchive }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async (parts) => {
      const first = await parts.archive.outputs.findNumbered(idOrNumber, number);
      if (!first.ok) return first;
      const job = jobFromJson(first.value.document);
      if (!job.ok) return job;
      const damage = damageFromText(typed, job.value);
      if (!damage.ok) return damage;
      const order = {
        outputId: first.value.id,
        panelLabel: panel,
        damage: damage.value,
        ...(vehicle !== undefined && { unitNumber: vehicle }),
        reason,
        to,
        sheets: PATCH_SHEETS,
      };
      const written = await patchPanel(parts, order, () => password, tools);
      if (!written.ok) return written;
      const { folder, kept, patch, remarks, verification } = written.value;
      const { isDamageBeyond, cut } = patch.patch;
      const unit = job.value.displayUnit;
      terminal.printResult(
        { folder, output: kept.number, patch: patch.label, files: kept.files, remarks, verification },
        [
          ...remarks,
          ...(isDamageBeyond
            ? [`There is damage beside ${panel}: the panel there needs a patch of its own.`]
            : []),
          ...(cut.length > 0
            ? [
                `The edge of the patch cuts lettering in ${cut.length === 1 ? 'one place' : `${cut.length} places`}.`,
              ]
            : []),
          `${patch.label}${kept.unitNumber === undefined ? '' : ` for ${printable(kept.unitNumber)}`}, ${lengthText(patch.net.width, unit)} × ${lengthText(patch.net.height, unit)} when trimmed, written to ${folder} as Output ${kept.number}.`,
          ...verificationLines(verification),
        ],
      );
      return resultOk(verification.state === 'failed' ? 'blocked' : 'done');
    });

const PARTS = ['from the left', 'from the top', 'width', 'height'] as const;

/** `2 m, 500, 90, 70` in the unit of the job where none is typed. */
function damageFromText(text: string, { displayUnit }: Job): Result<Rect<'finished'>> {
  const parts = text.split(/[,;]/);
  if (parts.length !== PARTS.length)
    return resultProblem({
      code: 'damage-unreadable',
      message: `“${text.slice(0, 80)}” is not the four lengths of a damage.`,
      remedy:
        'Give the distance from the left and the top of the side, the width and the height, with commas.',
    });
  const lengths: number[] = [];
  for (const [index, part] of parts.entries()) {
    const length = lengthFromText(part, displayUnit);
    if (!length.ok)
      return resultProblem({
        ...length.problem,
        message: `Damage, ${PARTS[index]}: ${length.problem.message}`,
      });
    lengths.push(length.value);
  }
  const [x, y, width, height] = lengths as [number, number, number, number];
  return resultOk({ x, y, width, height });
}
