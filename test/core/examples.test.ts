import { describeExamples } from '../support/file-examples.ts';

describeExamples('core', 13);
