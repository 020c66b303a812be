import { readFile } from 'node:fs/promises';
import type { ContractReply } from '../../core/contract/contract.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import type { Archive } from '../archive/port.ts';
import { pngSize } from '../render/png.ts';

/** The picture of a panel's difference, as it was kept when the output was verified. */
export async function verificationPicture(
  archive: Archive,
  outputId: number,
  panelLabel: string,
): Promise<Result<ContractReply<'output:difference'>>> {
  const output = await archive.outputs.find(outputId);
  if (!output.ok) return output;
  const report = await archive.outputs.verificationReport(outputId);
  const panels = report?.sides.flatMap((side) => side.panels) ?? [];
  const sha256 = panels.find(({ label }) => label === panelLabel)?.differencePictureSha256;
  if (sha256 === undefined || (await archive.vault.state(sha256)) !== 'sound') return resultOk(null);
  const png = new Uint8Array(await readFile(await archive.vault.path(sha256)));
  const { width, height } = pngSize(png);
  return resultOk({ png, widthPx: width, heightPx: height });
}
