import { commandById, keysShown } from '../commands/command.ts';

/** The first keys of each command, as this machine's keyboard names them. */
export function Keys({ of }: { readonly of: readonly string[] }) {
  const keys = of.flatMap((id) => commandById(id)?.keys?.[0] ?? []);
  return (
    <>
      {keys.map((each) => (
        <span key={each}>
          {' '}
          <kbd>{keysShown(each)}</kbd>
        </span>
      ))}
    </>
  );
}
