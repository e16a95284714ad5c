/** Stop: always in the same place, one touch, and a word of the fan itself that it worked. */

import type { Commands } from "./commands";
import { h, setShown, setText, svg } from "./dom";
import type { Part } from "./part";
import { motionOf, stopText } from "./stop_state";
import type { State } from "./store";

export class StopBar implements Part {
  private readonly said = h("p", { class: "stop-said", role: "status" });
  private readonly touch: HTMLButtonElement;
  readonly element: HTMLElement;

  constructor(commands: Commands) {
    const sign = svg("svg", { viewBox: "0 0 24 24", class: "sign", "aria-hidden": "true" }, svg("path", { d: "M8 2h8l6 6v8l-6 6H8l-6-6V8z" }));
    this.touch = h("button", { type: "button", class: "stop", id: "stop", click: () => commands.stop() }, sign as unknown as HTMLElement, "Stop the fan");
    this.element = h("aside", { class: "stop-bar", "aria-label": "Stop" }, this.said, this.touch);
  }

  update({ stop, status, contact, session }: State): void {
    const isViewer = session?.role === "viewer";
    setShown(this.touch, !isViewer);
    const motion = contact.ok && status ? motionOf(status.fans) : null;
    const text = stopText(stop, motion);
    const unreachable = contact.ok ? "" : " The daemon can't be reached: use the hand switch at the fan.";
    if (isViewer) setText(this.said, `${text} You look on; an operator or the hand switch at the fan stops it.`);
    else setText(this.said, stop.step === "idle" && unreachable ? unreachable.trim() : text);
    this.element.dataset.step = stop.step === "idle" && !contact.ok ? "unreachable" : stop.step;
  }
}
