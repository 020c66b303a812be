/**
 * Loaded with `--import` into a process and all its threads: functions whose precision ECMAScript leaves to the runtime
 * give a hundredth less. What then comes out as before owes them nothing; `sqrt` and the four operations are exact by
 * IEEE 754.
 */
const INEXACT = [
  ...(['hypot', 'cbrt', 'pow', 'exp', 'expm1', 'log', 'log1p', 'log2', 'log10'] as const),
  ...(['sin', 'cos', 'tan', 'asin', 'acos', 'atan', 'atan2'] as const),
  ...(['sinh', 'cosh', 'tanh', 'asinh', 'acosh', 'atanh'] as const),
];

for (const name of INEXACT) {
  const own = Math[name] as (...values: number[]) => number;
  Object.defineProperty(Math, name, { value: (...values: number[]) => 0.99 * own(...values) });
}
