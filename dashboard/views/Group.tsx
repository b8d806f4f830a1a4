/** Buttons that belong together, under their name. */
import type { ComponentChildren } from 'preact';

export function Group({ name, children }: { name: string; children: ComponentChildren }) {
  return (
    <fieldset class="group">
      <legend>{name}</legend>
      <div class="group-row">{children}</div>
    </fieldset>
  );
}
