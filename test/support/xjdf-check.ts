/** What CIP4’s schema does not check in a job ticket: that its parts speak of each other, and that its sums agree. */
import { XmlDocument, type XmlElement, XsdValidator } from 'libxml2-wasm';
import { XJDF_NAMESPACE } from '../../core/exchange/job-ticket.ts';

/** Processes and resources that a ticket of ours may name; all stand in CIP4’s schema, 2.2.42. */
const PROCESSES = ['DigitalPrinting', 'Laminating', 'Cutting', 'ShapeCutting'];
const RESOURCES = [
  'CustomerInfo',
  'Contact',
  'NodeInfo',
  'Media',
  'DigitalPrintingParams',
  'LaminatingParams',
  'CuttingParams',
  'ShapeCuttingParams',
  'DieLayout',
  'RunList',
  'Layout',
  'Component',
];

export interface XjdfRead {
  /** One sentence a fault. */
  readonly faults: readonly string[];
  values(path: string, attribute: string): string[];
}

/** `path` is an XPath in which names of XJDF begin with `x:`. */
export function xjdfRead(text: string): XjdfRead {
  const document = XmlDocument.fromString(text);
  const find = (path: string) => document.find(path, { x: XJDF_NAMESPACE }) as XmlElement[];
  const value = (element: XmlElement, name: string) =>
    element.attrs.find((attribute) => attribute.name === name)?.value ?? '';
  const values = (path: string, name: string) => find(path).map((element) => value(element, name));
  const faults: string[] = [];
  const expectAll = (given: readonly string[], known: readonly string[], what: string) => {
    for (const each of given) if (!known.includes(each)) faults.push(`${what}: ${each}`);
  };
  const ids = values('//*[@ID]', 'ID');
  if (new Set(ids).size < ids.length) faults.push('An id stands twice.');
  for (const name of ['PaperRef', 'MediaRef', 'DieLayoutRef']) {
    expectAll(values(`//*[@${name}]`, name), ids, `${name} leads nowhere`);
  }
  const types = values('/x:XJDF', 'Types')[0]!.split(' ');
  expectAll(types, PROCESSES, 'No process');
  expectAll(values('//x:ResourceSet', 'Name'), RESOURCES, 'No resource');
  for (const set of find('//x:ResourceSet')) {
    const inside = set.find('x:Resource/*[last()]', { x: XJDF_NAMESPACE }) as XmlElement[];
    expectAll(
      inside.map(({ name }) => name),
      [value(set, 'Name')],
      'Not what its set says',
    );
    const index = value(set, 'CombinedProcessIndex');
    if (index !== '' && !(Number(index) < types.length && Number(index) >= 0))
      faults.push(`No process ${index}`);
  }
  for (const address of values('//x:FileSpec', 'URL')) {
    const url = new URL(address, 'file:///output/');
    if (!url.href.startsWith('file:///output/') || url.href !== `file:///output/${address}`) {
      faults.push(`Not escaped: ${address}`);
    }
  }
  const sheets = values('//x:ResourceSet[@Name="Layout"]/x:Resource/x:Part', 'SheetName');
  expectAll(values('//x:Part[@SheetName]', 'SheetName'), sheets, 'No such sheet');
  const runs = values('//x:ResourceSet[@Name="RunList"]/x:Resource/x:Part', 'Run');
  expectAll(values('//x:Part[@Run]', 'Run'), runs, 'No such run');
  const placed = runs.map(() => 0);
  for (const ord of values('//x:PlacedObject', 'Ord')) {
    if (placed[Number(ord)] === undefined) faults.push(`Nothing in the run list at ${ord}`);
    placed[Number(ord)]!++;
  }
  for (const component of find('//x:ResourceSet[@Name="Component"]/x:Resource[x:Part/@Run]')) {
    const inside = (path: string) => component.find(path, { x: XJDF_NAMESPACE })[0] as XmlElement;
    const run = value(inside('x:Part'), 'Run');
    const amount = Number(value(inside('x:AmountPool/x:PartAmount'), 'Amount'));
    if (placed[runs.indexOf(run)] !== amount)
      faults.push(`${run}: ${amount} copies, ${placed[runs.indexOf(run)]} of them placed`);
  }
  return { faults, values };
}

/** What an XML schema says against it; none where it is valid. */
export function schemaFaults(text: string, schema: Uint8Array): string[] {
  const validator = XsdValidator.fromDoc(XmlDocument.fromBuffer(schema));
  try {
    validator.validate(XmlDocument.fromString(text));
    return [];
  } catch (error) {
    const { details = [] } = error as { details?: { message: string }[] };
    return details.length > 0 ? details.map(({ message }) => message) : [String(error)];
  } finally {
    validator.dispose();
  }
}
