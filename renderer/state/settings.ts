/** What the person prefers on this machine: kept in the browser's storage, never in a job. */
import { computed, effect, signal } from '@preact/signals';
import { z } from 'zod';

const KEY = 'panelwright-settings';

const Settings = z.object({
  theme: z.enum(['system', 'light', 'dark']).catch('system'),
  /** Size of everything on screen, in percent. */
  zoomPercent: z.number().min(70).max(200).catch(100),
  /** Height of the panel table below the canvas, in root ems. */
  dockRem: z.number().min(6).max(40).catch(13),
  /** Whether the header says what comes next in a job. */
  isNextStepShown: z.boolean().catch(true),
  /** Whether the area under the pointer is enlarged while the user measures or drags. */
  isLoupeShown: z.boolean().catch(true),
  /** How wide a bank card is on this screen, in CSS pixels; absent: the screen was not matched. */
  cardPx: z.number().min(150).max(900).optional().catch(undefined),
  /** Who last signed an acknowledgement, an override or a note here. */
  signedAs: z.string().catch(''),
  /** The version whose news were read; empty before the first start. */
  seenVersion: z.string().catch(''),
  /** The step of the first steps that is shown; absent: they are not under way. */
  firstStep: z.number().int().nonnegative().optional().catch(undefined),
});
export type Settings = z.infer<typeof Settings>;

function stored(): Settings {
  try {
    return Settings.parse(JSON.parse(localStorage.getItem(KEY) ?? '{}'));
  } catch {
    return Settings.parse({});
  }
}

export const settings = signal<Settings>(stored());

/** What a length in CSS pixels is multiplied by where code draws what the style sheets would size in root ems. */
export const interfaceScale = computed(() => settings.value.zoomPercent / 100);

export function changeSettings(change: Partial<Settings>): void {
  settings.value = Settings.parse({ ...settings.value, ...change });
}

/** Keeps storage and page in step with the settings; called once. */
export function applySettings(): void {
  effect(() => {
    const { theme, zoomPercent } = settings.value;
    localStorage.setItem(KEY, JSON.stringify(settings.value));
    document.documentElement.dataset.theme = theme;
    document.documentElement.style.fontSize = `${zoomPercent}%`;
  });
}
