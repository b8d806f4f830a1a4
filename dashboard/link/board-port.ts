/** A board that this browser can reach, by cable or by Bluetooth; the seam at which both are the same. */

export interface BoardPort {
  kind: 'serial' | 'bluetooth';
  /** Opens it. Rejects while the board is not there. */
  open(baudRate: number): Promise<OpenBoard>;
}

export interface OpenBoard {
  /** Hands on what comes, each piece once the one before is taken; resolves when the board is gone or it was closed. */
  read(taken: (bytes: Uint8Array) => Promise<void>): Promise<void>;
  write(bytes: Uint8Array<ArrayBuffer>): Promise<void>;
  /** Never rejects. */
  close(): Promise<void>;
}
