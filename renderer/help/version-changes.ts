export interface VersionChanges {
  readonly version: string;
  readonly changes: readonly string[];
}

/** The sections `## 1.2.0 – 2027-03-01` of a change log, newest first, with their list items. */
export function versionChanges(markdown: string): readonly VersionChanges[] {
  return markdown
    .split(/^## /m)
    .slice(1)
    .map((section) => {
      const [head = '', ...lines] = section.split('\n');
      return {
        version: /^\S+/.exec(head)?.[0] ?? '',
        changes: lines
          .join('\n')
          .split(/^- /m)
          .slice(1)
          .map((item) => item.replaceAll(/\s+/g, ' ').replaceAll('`', '').trim()),
      };
    });
}
