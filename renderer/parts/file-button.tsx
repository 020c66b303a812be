import { useRef } from 'preact/hooks';
import { Button } from './button.tsx';

interface FileButtonProps {
  readonly children: string;
  /** What the file is, for screen readers. */
  readonly label: string;
  /** Types and endings, as an input of files takes them. */
  readonly accept: string;
  readonly isDisabled?: boolean;
  onFile(file: File): void;
}

/** A button that opens the system's dialog for one file. */
export function FileButton({ children, label, accept, isDisabled = false, onFile }: FileButtonProps) {
  const input = useRef<HTMLInputElement>(null);
  return (
    <>
      <input
        ref={input}
        type="file"
        class="screen-reader-only"
        aria-label={label}
        tabIndex={-1}
        accept={accept}
        onChange={(event) => {
          const [file] = event.currentTarget.files ?? [];
          event.currentTarget.value = '';
          if (file) onFile(file);
        }}
      />
      <Button isDisabled={isDisabled} onClick={() => input.current?.click()}>
        {children}
      </Button>
    </>
  );
}
