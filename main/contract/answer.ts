/**
 * Answers one message of a screen, whichever way it came: checks the verb and the request, calls the handler,
 * turns every failure into a problem. Nothing that a screen sends can throw past here.
 */
import { CONTRACT, type ContractVerb } from '../../core/contract/contract.ts';
import { firstOf } from '../../core/measure/present.ts';
import { type Problem, type Result, resultProblem } from '../../core/measure/result.ts';
import { fileProblem } from '../files/file-problem.ts';
import type { AskContext, Handler, Handlers } from './handlers.ts';

export type Answer = Result<unknown, Problem>;

const isVerb = (verb: unknown): verb is ContractVerb =>
  typeof verb === 'string' && Object.hasOwn(CONTRACT, verb);

export async function answerRequest(
  handlers: Handlers,
  verb: unknown,
  rawRequest: unknown,
  context: AskContext,
  reportBug: (error: unknown) => void = (error) => console.error(error),
): Promise<Answer> {
  if (!isVerb(verb)) return badRequest('This program has no such verb.');
  const request = CONTRACT[verb].request.safeParse(rawRequest);
  if (!request.success) {
    const issue = firstOf(request.error.issues);
    return badRequest(
      `The request ${verb} is not valid at ${issue.path.join('.') || 'its root'}: ${issue.message}.`,
    );
  }
  try {
    const handler = handlers[verb] as Handler<ContractVerb>;
    return await handler(request.data, context);
  } catch (error) {
    if (context.signal.aborted) return resultProblem(cancelled);
    // What was not expected here may still be no more than a disk that is full.
    const refused = fileProblem(error, 'A file or folder');
    if (refused) return resultProblem(refused);
    reportBug(error);
    return resultProblem({
      code: 'unexpected',
      message: `Something went wrong inside the program (${firstLine(error)}).`,
      remedy: 'Try again; if it happens again, report it with the steps that led here.',
    });
  }
}

const firstLine = (error: unknown): string =>
  firstOf((error instanceof Error ? error.message : String(error)).split('\n', 1)).slice(0, 300);

const cancelled: Problem = {
  code: 'cancelled',
  message: 'The work was canceled.',
  remedy: 'Start it again when you are ready.',
};

const badRequest = (message: string): Answer =>
  resultProblem({
    code: 'bad-request',
    message,
    remedy: 'Reload the window; if it happens again, report it.',
  });
