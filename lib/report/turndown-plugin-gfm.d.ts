/** The package brings no types. */
declare module '@joplin/turndown-plugin-gfm' {
  import type TurndownService from 'turndown';

  export const tables: TurndownService.Plugin;
}
