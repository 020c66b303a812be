/** Options that several commands take, and how what is typed is read. */

import { type Command, InvalidArgumentError, Option } from 'commander';
import { PAGE_BOXES } from '../../core/measure/page-box.ts';
import { SELECTED_SHEETS, type SheetKind, USUAL_SHEETS } from '../../core/output/sheet-kind.ts';

export const JOB_FOLDER =
  'folder for the job: each output gets a folder of its own in it, and “current” is the one to print from';

export const boxOption = () =>
  new Option('--box <name>', 'page box whose top left corner is the origin of the drawing')
    .choices(PAGE_BOXES)
    .default('crop');

export const figureList = (figure: string, before: readonly string[]): string[] => [...before, figure];

export const sheetsOption = () =>
  new Option('--sheets <names>', `papers to write, of: ${SELECTED_SHEETS.join(', ')}; or none`)
    .argParser(sheetList)
    .default(
      [...USUAL_SHEETS],
      'all but map-lines, a map without artwork for cheap printers, check-in, quote, customer proof and seams at true size, which come before an output, and xjdf and cut-contours, which are for other programs',
    );

export const withPassword = (command: Command): Command =>
  command.option('--password <text>', 'password of an encrypted artwork');

export const withArtwork = (command: Command): Command =>
  withPassword(
    command
      .option('--artwork <file>', 'artwork PDF, where the job file has none or it lies elsewhere')
      .addOption(boxOption()),
  );

export function labelList(text: string): string[] {
  const labels = text.split(/[\s,]+/).filter((label) => label !== '');
  if (labels.length === 0) throw new InvalidArgumentError('Name at least one panel.');
  return labels;
}

function sheetList(text: string): SheetKind[] {
  if (text.trim() === 'none') return [];
  return text
    .split(/[\s,]+/)
    .filter((name) => name !== '')
    .map((name) => {
      const kind = SELECTED_SHEETS.find((known) => known === name);
      if (!kind) throw new InvalidArgumentError(`Select from ${SELECTED_SHEETS.join(', ')}, or none.`);
      return kind;
    });
}

export function ratio(text: string): number {
  const value = Number(text.replace(/^1:/, ''));
  if (!(value > 0 && value <= 1000)) throw new InvalidArgumentError('Write 10 or 1:10, at most 1:1000.');
  return value;
}

export function isoDate(text: string): string {
  if (!/^\d{4}-\d{2}-\d{2}$/.test(text) || Number.isNaN(Date.parse(text))) {
    throw new InvalidArgumentError('Write the date as 2026-03-09.');
  }
  return text;
}

export function count(text: string): number {
  if (!/^[1-9]\d{0,8}$/.test(text)) throw new InvalidArgumentError('Write a whole number from 1.');
  return Number(text);
}
