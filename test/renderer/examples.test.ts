import { describeExamples } from '../support/file-examples.ts';

describeExamples('renderer', 2);
