/** What a notebook's cell shows, and the way there through the tslab kernel that runs it. */

/** Representations of one output by media type; whoever shows it picks the best that it knows. */
export type Representations = Readonly<Record<string, string | object>>;

/** Puts an output under the cell, or replaces one that was put there under the same id. */
export type CellWriter = (representations: Representations, id?: string, replaces?: boolean) => void;

/** These helpers show things under notebook cells; outside a notebook there is none. */
export class NotInNotebook extends Error {
  constructor() {
    super('there is no notebook cell to show this in: run it in a notebook on the tslab kernel, '
      + 'or give notebookDisplay a `writer` of your own');
    this.name = 'NotInNotebook';
  }
}

/** What the kernel keeps of the running cell. */
interface KernelModule {
  readonly lastWriteDisplayData?: ((content: object, isUpdate?: boolean) => void) | null;
}

/**
 * The writer of the running tslab kernel.
 *
 * tslab's own `display` sends one media type at a time. An output of several, of which each reader takes what it can
 * show, needs the kernel's writer itself, which is found among the modules loaded, wherever tslab is installed.
 *
 * @throws NotInNotebook, when called or when written to, where no cell is running
 */
export function kernelWriter(): CellWriter {
  const kernel = Object.values(require.cache)
    .find((loaded) => loaded !== undefined && /[\\/]tslab[\\/]dist[\\/]jupyter\.js$/.test(loaded.filename))
    ?.exports as KernelModule | undefined;
  if (kernel === undefined) throw new NotInNotebook();
  return (representations, id, replaces = false) => {
    const write = kernel.lastWriteDisplayData;
    if (write === undefined || write === null) throw new NotInNotebook();
    write({ data: representations, metadata: {}, transient: id === undefined ? {} : { display_id: id } }, replaces);
  };
}
