export interface XmlElement {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: readonly XmlElement[];
  readonly text?: string;
}

type Value = string | number | boolean | undefined;

/** Attributes without a value are left out. */
export const xmlElement = (
  name: string,
  attributes: Readonly<Record<string, Value>> = {},
  children: readonly (XmlElement | undefined)[] = [],
): XmlElement => ({
  name,
  attributes: Object.fromEntries(
    Object.entries(attributes).flatMap(([key, value]) => (value === undefined ? [] : [[key, String(value)]])),
  ),
  children: children.filter((child) => child !== undefined),
});

export const xmlText = (root: XmlElement): string =>
  `<?xml version="1.0" encoding="UTF-8"?>\n${elementText(root, '')}`;

function elementText({ name, attributes, children, text = '' }: XmlElement, indent: string): string {
  const given = Object.entries(attributes)
    .map(([key, value]) => ` ${key}="${escaped(value)}"`)
    .join('');
  if (children.length === 0) {
    return text === ''
      ? `${indent}<${name}${given}/>\n`
      : `${indent}<${name}${given}>${escaped(text)}</${name}>\n`;
  }
  const inner = children.map((child) => elementText(child, `${indent}  `)).join('');
  return `${indent}<${name}${given}>\n${inner}${indent}</${name}>\n`;
}

const ESCAPES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  '\t': '&#9;',
  '\n': '&#10;',
  '\r': '&#13;',
};

/** Characters that XML cannot hold become a question mark (section 2.2). */
const escaped = (text: string): string =>
  text
    .toWellFormed()
    .replaceAll(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]/g, '?')
    .replaceAll(/[&<>"\t\n\r]/g, (sign) => ESCAPES[sign] ?? sign);
