/** What only the shell can do for the services: let the user choose, and show what was written. */
export interface Dialogs {
  /** Paths of the chosen files: several of artwork, of a job bundle one at most. */
  chooseFiles(purpose: 'artwork' | 'job-bundle', clientId: string): Promise<readonly string[]>;
  chooseFolder(title: string, clientId: string): Promise<string | undefined>;
  /** Opens a folder in the system's file manager. */
  showFolder(folder: string): Promise<void>;
}
