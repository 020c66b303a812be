/** Writes the JSON Schema of the manifest, for those who read manifests with other programs. */
import { writeFileSync } from 'node:fs';
import { z } from 'zod';
import { Manifest } from '../core/manifest.ts';

const target = new URL('../assets/manifest.schema.json', import.meta.url);
writeFileSync(target, `${JSON.stringify(z.toJSONSchema(Manifest), undefined, 2)}\n`);
