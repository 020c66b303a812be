/** Reads manifests of earlier outputs. */
import { type Problem, type Result, resultOk, resultProblem } from '../measure/result.ts';
import { MANIFEST_SCHEMA, MANIFEST_VERSION, Manifest } from './manifest.ts';

/** `where` completes “the manifest …”: in a folder, of an output. Undefined text means a missing file. */
export function manifestFromJson(
  text: string | undefined,
  where: string,
): Result<Manifest, Problem<'manifest-unreadable' | 'manifest-other-draft'>> {
  const document = valueFromText(text);
  const manifest = Manifest.safeParse(document);
  if (manifest.success) return resultOk(manifest.data);
  const { format, version, schema } = (document ?? {}) as Record<string, unknown>;
  if (format === 'panelwright-manifest' && version === MANIFEST_VERSION && schema !== MANIFEST_SCHEMA) {
    return resultProblem({
      code: 'manifest-other-draft',
      message: `The manifest ${where} was written by another draft of version ${MANIFEST_VERSION}: “schema” is ${schema === undefined ? 'missing' : JSON.stringify(schema)}, and this program reads “${MANIFEST_SCHEMA}”.`,
      remedy: 'Cut the job again with this program.',
    });
  }
  return resultProblem({
    code: 'manifest-unreadable',
    message: `The manifest ${where} is missing or damaged, so nothing says what its panels should be.`,
    remedy: 'Cut the job again.',
  });
}

function valueFromText(text: string | undefined): unknown {
  try {
    return JSON.parse(text ?? '');
  } catch {
    return undefined;
  }
}
