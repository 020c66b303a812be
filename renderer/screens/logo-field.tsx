/** The logo of the shop: any picture that the browser shows, turned into plain pixels on white. */
import { useEffect, useRef, useState } from 'preact/hooks';
import { LOGO_LIMITS, type ShopLogo } from '../../core/job/shop-profile.ts';
import { Button } from '../parts/button.tsx';
import { elementOf, painterOf } from '../parts/elements.ts';
import { Field } from '../parts/field.tsx';

interface LogoFieldProps {
  readonly logo: ShopLogo | undefined;
  onChange(logo: ShopLogo | undefined): void;
}

export function LogoField({ logo, onChange }: LogoFieldProps) {
  const [problem, setProblem] = useState<string>();
  return (
    <div class="logo-field">
      <Field
        label="Logo"
        problem={problem}
        hint="PNG, JPEG or SVG. It is printed in the title block of each sheet."
      >
        {(ids) => (
          <input
            class="input"
            type="file"
            accept="image/png,image/jpeg,image/svg+xml,image/webp"
            onChange={async (event) => {
              const file = event.currentTarget.files?.[0];
              event.currentTarget.value = '';
              if (!file) return;
              const read = await logoFromFile(file);
              setProblem(read ? undefined : `${file.name} is not a picture. Select a PNG, JPEG or SVG file.`);
              if (read) onChange(read);
            }}
            {...ids}
          />
        )}
      </Field>
      {logo && (
        <div class="logo-shown">
          <LogoPicture logo={logo} />
          <Button onClick={() => onChange(undefined)}>Remove the logo</Button>
        </div>
      )}
    </div>
  );
}

function LogoPicture({ logo: { rgbBase64, widthPx, heightPx } }: { readonly logo: ShopLogo }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  useEffect(() => {
    const rgb = atob(rgbBase64);
    const image = new ImageData(widthPx, heightPx);
    for (let pixel = 0; pixel < widthPx * heightPx; pixel++) {
      for (let ink = 0; ink < 3; ink++) image.data[pixel * 4 + ink] = rgb.charCodeAt(pixel * 3 + ink);
      image.data[pixel * 4 + 3] = 255;
    }
    painterOf(elementOf(canvas)).putImageData(image, 0, 0);
  }, [rgbBase64, widthPx, heightPx]);
  return <canvas ref={canvas} width={widthPx} height={heightPx} role="img" aria-label="Logo of the shop" />;
}

/** A picture without a size of its own, as SVG may be, is drawn as large as it may be. */
async function logoFromFile(file: File): Promise<ShopLogo | undefined> {
  const address = URL.createObjectURL(file);
  try {
    const image = new Image();
    image.src = address;
    await image.decode();
    const { widthPx: mostWidth, heightPx: mostHeight } = LOGO_LIMITS;
    const [width, height] = [image.naturalWidth || mostWidth, image.naturalHeight || mostHeight];
    const isVector = file.type === 'image/svg+xml';
    const fit = Math.min(mostWidth / width, mostHeight / height);
    const scale = isVector ? fit : Math.min(1, fit);
    const [widthPx, heightPx] = [width, height].map((px) => Math.max(1, Math.round(px * scale))) as [
      number,
      number,
    ];
    const canvas = new OffscreenCanvas(widthPx, heightPx);
    const context = painterOf(canvas);
    context.fillStyle = '#ffffff';
    context.fillRect(0, 0, widthPx, heightPx);
    context.drawImage(image, 0, 0, widthPx, heightPx);
    return { rgbBase64: rgbText(context.getImageData(0, 0, widthPx, heightPx).data), widthPx, heightPx };
  } catch {
    return undefined;
  } finally {
    URL.revokeObjectURL(address);
  }
}

function rgbText(rgba: Uint8ClampedArray): string {
  let text = '';
  for (let at = 0; at < rgba.length; at += 4) {
    text += String.fromCharCode(rgba[at] ?? 0, rgba[at + 1] ?? 0, rgba[at + 2] ?? 0);
  }
  return btoa(text);
}
