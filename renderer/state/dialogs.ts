import { signal } from '@preact/signals';

export const isKeysSheetOpen = signal(false);
/** Asks for a new job, on the screen of all jobs. */
export const isNewJobOpen = signal(false);

export function openNewJob(): void {
  isNewJobOpen.value = true;
}

export function closeNewJob(): void {
  isNewJobOpen.value = false;
}

export function showKeysSheet(): void {
  isKeysSheetOpen.value = true;
}

/** Help for the current screen. */
export const isHelpOpen = signal(false);

export function openHelp(): void {
  isHelpOpen.value = true;
}

export function closeHelp(): void {
  isHelpOpen.value = false;
}

/** In a browser: asks for one more tab. */
export const isNewTabOpen = signal(false);

export function openNewTab(): void {
  isNewTabOpen.value = true;
}

export function closeNewTab(): void {
  isNewTabOpen.value = false;
}

/** Lists the jobs that were opened last. */
export const isRecentOpen = signal(false);

export function openRecentJobs(): void {
  isRecentOpen.value = true;
}

export function closeRecentJobs(): void {
  isRecentOpen.value = false;
}

/** Asks whether to delete the files that no job names. */
export const isCleaningOpen = signal(false);

export function openCleaning(): void {
  isCleaningOpen.value = true;
}

export function closeCleaning(): void {
  isCleaningOpen.value = false;
}

/** The panel of the open job that is looked at as it prints. */
export const viewedPanelId = signal<string | undefined>(undefined);

export function viewPanel(panelId: string): void {
  viewedPanelId.value = panelId;
}

export function closePanelView(): void {
  viewedPanelId.value = undefined;
}

/** Whether the selected seam of the open job is looked at as it will be installed. */
export const isSeamLookOpen = signal(false);

export function openSeamLook(): void {
  isSeamLookOpen.value = true;
}

export function closeSeamLook(): void {
  isSeamLookOpen.value = false;
}

/** On the bench of a job without sides: asks for those of its vehicle. */
export const isVehicleSidesOpen = signal(false);

export function openVehicleSides(): void {
  isVehicleSidesOpen.value = true;
}

export function closeVehicleSides(): void {
  isVehicleSidesOpen.value = false;
}

/** Of the open job: asks how the guide for its designer is drawn. */
export const isGuideOpen = signal(false);

export function openGuide(): void {
  isGuideOpen.value = true;
}

export function closeGuide(): void {
  isGuideOpen.value = false;
}
