import type { Reporter, TestCase, TestModule, Vitest } from 'vitest/node';

/**
 * Names every skipped test and its reason, and closes with one plain line of counts,
 * so that a log reader need not know the test runner.
 */
export default class PlainReporter implements Reporter {
  /** Whether only tests of some name or tag were run, so that missing ones are no fault. */
  #isFiltered = false;

  onInit({ config }: Vitest): void {
    this.#isFiltered = config.testNamePattern !== undefined || (config.tagsFilter ?? []).length > 0;
  }

  onTestRunEnd(modules: readonly TestModule[]): void {
    const counts = { passed: 0, failed: 0, skipped: 0 };
    const skipped: string[] = [];
    for (const module of modules) {
      for (const test of module.children.allTests()) {
        const state = test.result().state;
        if (state === 'pending') continue;
        counts[state] += 1;
        if (state === 'skipped') skipped.push(skippedLine(module, test));
      }
      counts.failed += module.errors().length;
    }
    if (skipped.length > 0 && !this.#isFiltered) console.log(`\nSkipped:\n${skipped.join('\n')}`);
    console.log(`\n${counts.passed} passed, ${counts.failed} failed, ${counts.skipped} skipped`);
  }
}

function skippedLine(module: TestModule, test: TestCase): string {
  const result = test.result();
  const reason = result.state === 'skipped' && result.note ? ` (${result.note})` : '';
  return `  ${module.relativeModuleId}: ${test.fullName}${reason}`;
}
