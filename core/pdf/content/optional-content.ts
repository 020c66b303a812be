import { type PDFArray, PDFDict, PDFName, type PDFObject, PDFRef } from 'pdf-lib';
import { arrayOf, dictOf, nameOf, textOf } from '../file/dict-values.ts';
import type { PdfObjects } from '../file/pdf-objects.ts';

const MAX_EXPRESSION_DEPTH = 32;
/** An expression may name itself in several places and would then have no end. */
const MAX_EXPRESSION_OPERANDS = 10_000;

/**
 * Which layers are on when the file opens: the default configuration, ISO 32000-1, 8.11.4.3. Layers that are off do not
 * print.
 */
export class OptionalContent {
  readonly #objects: PdfObjects;
  readonly #isOnByDefault: boolean;
  readonly #exceptions: ReadonlySet<PDFObject>;
  /** Results already worked out: a page may name one layer many thousand times, and an expression may be long. */
  readonly #known = new Map<PDFObject, boolean>();

  private constructor(objects: PdfObjects, isOnByDefault: boolean, exceptions: ReadonlySet<PDFObject>) {
    this.#objects = objects;
    this.#isOnByDefault = isOnByDefault;
    this.#exceptions = exceptions;
  }

  static async from(catalog: PDFDict, objects: PdfObjects): Promise<OptionalContent> {
    const entry = async (dict: PDFDict | undefined, key: string) =>
      objects.resolved(dict?.get(PDFName.of(key)));
    const properties = dictOf(await entry(catalog, 'OCProperties'));
    const config = dictOf(await entry(properties, 'D'));
    // A base state of Unchanged means on, since there was no earlier state.
    const isOn = nameOf(await entry(config, 'BaseState')) !== 'OFF';
    const listed = arrayOf(await entry(config, isOn ? 'OFF' : 'ON'));
    const exceptions = new Set<PDFObject>();
    for (const item of listed?.asArray() ?? []) {
      const group = await objects.resolved(item);
      if (group !== undefined) exceptions.add(group);
    }
    return new OptionalContent(objects, isOn, exceptions);
  }

  /** Whether content that belongs to this group or membership dictionary shows. */
  async isVisible(membership: PDFObject | undefined): Promise<boolean> {
    if (membership === undefined) return true;
    const isKnown = this.#known.get(membership);
    if (isKnown !== undefined) return isKnown;
    const isVisible = await this.#visible(membership);
    this.#known.set(membership, isVisible);
    return isVisible;
  }

  async #visible(membership: PDFObject): Promise<boolean> {
    const dict = dictOf(await this.#objects.resolved(membership));
    if (dict === undefined) return true;
    if (nameOf(await this.#entry(dict, 'Type')) !== 'OCMD') return this.#isOn(dict);
    const expression = arrayOf(await this.#entry(dict, 'VE'));
    if (expression !== undefined) return this.#isTrue(expression, 0, { left: MAX_EXPRESSION_OPERANDS });
    const groups = await this.#groups(await this.#entry(dict, 'OCGs'));
    if (groups.length === 0) return true;
    switch (nameOf(await this.#entry(dict, 'P'))) {
      case 'AllOn':
        return groups.every((group) => this.#isOn(group));
      case 'AnyOff':
        return groups.some((group) => !this.#isOn(group));
      case 'AllOff':
        return groups.every((group) => !this.#isOn(group));
      default:
        return groups.some((group) => this.#isOn(group));
    }
  }

  /** Names of the layers in a group or membership dictionary. */
  async names(membership: PDFObject): Promise<string[]> {
    const dict = dictOf(await this.#objects.resolved(membership));
    if (dict === undefined) return [];
    const isGroup = nameOf(await this.#entry(dict, 'Type')) !== 'OCMD';
    const groups = isGroup ? [dict] : await this.#groups(await this.#entry(dict, 'OCGs'));
    return await Promise.all(groups.map(async (group) => textOf(await this.#entry(group, 'Name')) ?? ''));
  }

  #entry(dict: PDFDict, key: string): Promise<PDFObject | undefined> {
    return this.#objects.resolved(dict.get(PDFName.of(key)));
  }

  #isOn(group: PDFObject): boolean {
    return this.#exceptions.has(group) !== this.#isOnByDefault;
  }

  async #groups(object: PDFObject | undefined): Promise<PDFDict[]> {
    const items = arrayOf(object)?.asArray() ?? (object === undefined ? [] : [object]);
    const groups: PDFDict[] = [];
    for (const item of items) {
      const group = await this.#objects.resolved(item);
      if (group instanceof PDFDict) groups.push(group);
    }
    return groups;
  }

  /** A visibility expression, 8.11.2.2: `[/And …]`, `[/Or …]`, `[/Not x]` over groups and expressions. */
  async #isTrue(expression: PDFArray, depth: number, operandsLeft: { left: number }): Promise<boolean> {
    if (depth > MAX_EXPRESSION_DEPTH) return true;
    const [operator, ...operands] = expression.asArray();
    const values: boolean[] = [];
    for (const operand of operands) {
      if (operandsLeft.left-- <= 0) return true;
      const value = operand instanceof PDFRef ? await this.#objects.resolved(operand) : operand;
      const nested = arrayOf(value);
      if (nested !== undefined) values.push(await this.#isTrue(nested, depth + 1, operandsLeft));
      else if (value !== undefined) values.push(this.#isOn(value));
    }
    switch (nameOf(operator)) {
      case 'And':
        return values.every(Boolean);
      case 'Not':
        return !values[0];
      default:
        return values.some(Boolean);
    }
  }
}
