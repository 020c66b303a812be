/** A seat that has one job open, to be killed. */
import { setTimeout } from 'node:timers/promises';
import { testArchive } from './test-archive.ts';

const [place = '', jobId = ''] = process.argv.slice(2);
const archive = await testArchive(place);
await archive.openJobs.take(jobId, 'window', new Date().toISOString());
console.log('open');
for (;;) await setTimeout(1000);
