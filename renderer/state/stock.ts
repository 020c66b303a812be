/** The rolls of the shop as the archive has them, and what is entered of them. */
import { signal } from '@preact/signals';
import type { ContractRequest } from '../../core/contract/contract.ts';
import type { Problem, Result } from '../../core/measure/result.ts';
import type { StockRoll } from '../../core/shop/stock-roll.ts';
import { ask } from '../client/client.ts';
import { showProblem } from './notices.ts';
import { shopProfile } from './shop.ts';
import { nameToSign } from './signature.ts';

/** Undefined until they were read once. */
export const stockRolls = signal<readonly StockRoll[] | undefined>(undefined);

export async function readStock(): Promise<void> {
  const listed = await ask('stock:list', {});
  if (listed.ok) stockRolls.value = listed.value;
  else showProblem(listed.problem);
}

/** The name of the person who enters something, and the unit of lengths in sentences. */
export const stockEntry = () => ({ by: nameToSign(), unit: shopProfile.value.displayUnit });

interface StockQuestion {
  readonly problem: Problem;
  /** Label of the confirm button. */
  readonly yes: string;
  answer(isYes: boolean): void;
}

/** The question to answer before anything is entered. */
export const stockQuestion = signal<StockQuestion | undefined>(undefined);

const QUESTIONS: Readonly<
  Record<
    string,
    { readonly yes: string; readonly field: 'isBelowZeroAllowed' | 'isFurtherPrint' | 'isTwiceAllowed' }
  >
> = {
  'stock-below-zero': { yes: 'Take it off all the same', field: 'isBelowZeroAllowed' },
  'stock-printed-already': { yes: 'It was printed, too', field: 'isFurtherPrint' },
  'stock-printed-twice': { yes: 'It is right', field: 'isTwiceAllowed' },
};

type Entering = 'stock:scrap' | 'stock:undo' | 'stock:printed';

/** Enters something that may need an answer first; whether it was entered. */
export async function enterAsking<V extends Entering>(
  verb: V,
  request: ContractRequest<V>,
): Promise<boolean> {
  const entered: Result<unknown> = await ask(verb, request);
  if (entered.ok) return true;
  const question = QUESTIONS[entered.problem.code];
  if (!question) {
    showProblem(entered.problem);
    return false;
  }
  const { problem } = entered;
  const isYes = await new Promise<boolean>((answer) => {
    stockQuestion.value = { problem, yes: question.yes, answer };
  });
  stockQuestion.value = undefined;
  return isYes && (await enterAsking(verb, { ...request, [question.field]: true }));
}
