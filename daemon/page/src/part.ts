/** A piece of the page that keeps itself up to date. */

import type { State } from "./store";

export interface Part {
  readonly element: HTMLElement;
  update(state: State): void;
}
