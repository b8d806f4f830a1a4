/** A disk's error in one sentence or two that a person can act on. */
import { errorCode } from '../error-code.ts';

/** What is wrong, and what to do. `place`: the folder that is written to. */
function causeAndCure(code: string, place: string): [cause: string, cure: string] {
  switch (code) {
    case 'ENOSPC':
    case 'EDQUOT':
      return ['The disk is full', 'Free some space.'];
    case 'ENOENT':
    case 'ENOTDIR':
    case 'ESTALE':
      return ["The firing's folder is gone", `Put it back, or make an empty folder there: ${place}`];
    case 'EROFS':
      return ['The disk can only be read', 'Unlock it or put in another one.'];
    case 'EACCES':
    case 'EPERM':
    case 'EBUSY':
      return [
        `Writing is not allowed in ${place}`,
        'Close any other program that has its files open, and see to it that this user may write there.',
      ];
    case 'EIO':
    case 'ENXIO':
    case 'ENODEV':
      return [
        'The disk is failing or was taken out',
        'See to its plug, and copy the firing to another disk soon.',
      ];
    case 'ETIMEDOUT':
      return ['The disk does not answer', 'See to its plug or its network.'];
    default:
      return [`The disk takes nothing (${code})`, `See to the disk of ${place}`];
  }
}

/** Trouble while a firing is written. `givenUp`: readings for which there was no memory left either. */
export function writingTrouble(error: unknown, folder: string, givenUp: boolean): string {
  const [cause, cure] = causeAndCure(errorCode(error), folder);
  return givenUp
    ? `${cause} and the memory too: the newest readings are given up. ${cure}`
    : `${cause}: readings are kept in memory for now. ${cure}`;
}

/** What stands on the disk of a firing that is to be gone on with cannot be read. */
export function readingTrouble(error: unknown, folder: string): Error {
  return new Error(
    `The firing in ${folder} cannot be read (${errorCode(error)}). See to its disk, or begin a new firing.`,
    { cause: error },
  );
}

function startCauseAndCure(code: string, dataFolder: string): [cause: string, cure: string] {
  switch (code) {
    case 'ENOENT':
      return [`The data folder ${dataFolder} is not there`, 'Plug its disk in, and start again.'];
    case 'EEXIST':
    case 'ENOTDIR':
      return [`A file stands where the data folder ${dataFolder} should be`, 'Move it away.'];
    default:
      return causeAndCure(code, dataFolder);
  }
}

/** Trouble before a firing's folder is there. */
export function startTrouble(error: unknown, dataFolder: string): Error {
  const [cause, cure] = startCauseAndCure(errorCode(error), dataFolder);
  return new Error(
    `${cause}: no folder can be made for the firing. ${cure} Or choose another place with --data DIR.`,
    {
      cause: error,
    },
  );
}
