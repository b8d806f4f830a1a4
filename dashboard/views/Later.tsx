/**
 * Rooms that nobody enters at the woodpile: their script is fetched from the collector when somebody does, so that a phone
 * is sent less.
 */
import type { ComponentType } from 'preact';
import { useState } from 'preact/hooks';
import { SAY } from '../words.ts';
import { useFetched } from './use-fetched.ts';

/** A room whose script `fetchIt` brings; it is fetched once. */
export function later<Props extends object>(fetchIt: () => Promise<ComponentType<Props>>) {
  let known: ComponentType<Props> | null = null;
  const fetchOnce = async () => {
    try {
      known ??= await fetchIt();
    } catch {
      // Not reached: it is said, and can be tried again.
    }
    return known;
  };
  return function Room(props: Props) {
    // In a record: a state's setter would take a component for a maker of one.
    const [{ first }] = useState({ first: known });
    const [fetched, again] = useFetched<{ entered: ComponentType<Props> }>(async () => {
      const entered = first ?? (await fetchOnce());
      return entered === null ? null : { entered };
    }, '');
    const Entered = first ?? (fetched.state === 'here' ? fetched.what.entered : null);
    if (Entered !== null) return <Entered {...props} />;
    if (fetched.state !== 'failed') return <p>{SAY.pastLoading}</p>;
    return (
      <p>
        {SAY.roomFailed}{' '}
        <button type="button" class="press plain" onClick={again}>
          {SAY.tryAgain}
        </button>
      </p>
    );
  };
}
