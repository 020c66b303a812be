import { describeExamples } from '../support/file-examples.ts';

describeExamples('main', 4);
