/** What happened, in words, newest first: the picture's marks for those who can't see it. */

import { h, Keyed } from "./dom";
import type { Part } from "./part";
import type { State } from "./store";
import type { TraceStore } from "./trace_store";

const most = 12;

function at(s: number): string {
  const whole = Math.max(0, Math.round(s));
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
}

/** What to do about it stands where it is asked for. */
const firstSentence = (text: string) => text.replace(/\. [A-Z].*$/s, ".");

export class EventsPart implements Part {
  readonly element = h("section", { class: "events", "aria-label": "What happened" });
  private readonly keyed = new Keyed(this.element);

  constructor(private readonly trace: TraceStore) {}

  update(_: State): void {
    const last = this.trace.marks.slice(-most).reverse();
    this.keyed.show(last, () =>
      last.length === 0
        ? []
        : [h("h2", {}, "What happened"), h("ol", {}, ...last.map((mark) => h("li", {}, h("span", { class: "time" }, at(mark.t_s)), ` ${firstSentence(mark.text)}`)))],
    );
  }
}
