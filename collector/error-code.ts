/** What the system calls an error. */

/** The system's name of an error (`ENOSPC`), or its message if it has none. */
export function errorCode(error: unknown): string {
  if (!(error instanceof Error)) return String(error);
  return 'code' in error && typeof error.code === 'string' ? error.code : error.message;
}
