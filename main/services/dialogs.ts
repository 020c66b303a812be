/** What only the shell can do for the services: let the user choose, and show what was written. */
export interface Dialogs {
  /** Path of the chosen file; undefined where the user chose none. */
  chooseFile(purpose: 'artwork' | 'job-bundle', clientId: string): Promise<string | undefined>;
  chooseFolder(title: string, clientId: string): Promise<string | undefined>;
  /** Opens a folder in the system's file manager. */
  showFolder(folder: string): Promise<void>;
}
