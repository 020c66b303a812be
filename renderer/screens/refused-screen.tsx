import type { Problem } from '../../core/measure/result.ts';

/** What a page shows that may ask nothing. */
export function RefusedScreen({ problem: { message, remedy } }: { readonly problem: Problem }) {
  return (
    <main class="empty">
      <h1>Panelwright</h1>
      <div role="alert">
        <p>{message}</p>
        <p>{remedy}</p>
      </div>
    </main>
  );
}
