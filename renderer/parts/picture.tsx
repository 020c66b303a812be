import { useEffect, useState } from 'preact/hooks';
import type { Picture as PictureBytes } from '../../core/contract/parts.ts';

interface PictureProps {
  readonly picture: PictureBytes | null | undefined;
  /** What it shows, for those who do not see it. */
  readonly label: string;
  readonly className?: string;
}

/** A PNG that came as bytes; a quiet box until it is there, and a word where there will be none. */
export function Picture({ picture, label, className = 'picture' }: PictureProps) {
  const [address, setAddress] = useState<string>();
  useEffect(() => {
    if (!picture) {
      setAddress(undefined);
      return;
    }
    const made = URL.createObjectURL(
      new Blob([picture.png as Uint8Array<ArrayBuffer>], { type: 'image/png' }),
    );
    setAddress(made);
    return () => URL.revokeObjectURL(made);
  }, [picture]);

  if (address) return <img class={className} src={address} alt={label} />;
  return (
    <div class={`${className} picture-empty`} role="img" aria-label={label}>
      {picture === null ? 'No picture' : 'Drawing…'}
    </div>
  );
}
