import { stockQuestion } from '../state/stock.ts';
import { Button } from './button.tsx';
import { Dialog } from './dialog.tsx';

/** Asks what must be answered before something is entered of a roll. */
export function StockQuestionDialog() {
  const question = stockQuestion.value;
  if (!question) return null;
  const { problem, yes, answer } = question;
  return (
    <Dialog title="Nothing has been entered yet" onClose={() => answer(false)}>
      <p>{problem.message}</p>
      <p class="quiet">{problem.remedy}</p>
      <div class="dialog-actions">
        <Button isSafe onClick={() => answer(false)}>
          Cancel
        </Button>
        <Button onClick={() => answer(true)}>{yes}</Button>
      </div>
    </Dialog>
  );
}
