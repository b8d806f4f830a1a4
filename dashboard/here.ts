/** Where this page is: with several kilns on one collector each has a page of its own below its own path. */

/** The path that this kiln's addresses begin with, without a slash at the end: '' for the only kiln, else `/kiln/back`. */
export function kilnPath(pathname: string): string {
  return pathname.slice(0, pathname.lastIndexOf('/'));
}
