/** What came of the run that has just ended. */

import { h, Keyed } from "./dom";
import type { Part } from "./part";
import { figuresOf, stateWords } from "./result_figures";
import type { State } from "./store";

export class OutcomePart implements Part {
  readonly element = h("section", { class: "outcome", "aria-label": "What came of the run", "aria-live": "polite" });
  private readonly keyed = new Keyed(this.element);

  update({ status, result, settings }: State): void {
    const isOver = status?.run_state !== "running" && status?.run_id === result?.run_id;
    this.keyed.show([isOver, result?.run_id, result?.state, settings.units], () => {
      if (!isOver || !result) return [];
      const [q50, n50] = figuresOf(result, settings.units);
      return [
        h("h2", {}, `The run is ${stateWords(result.state)}`),
        q50 ? h("p", { class: "headline" }, `${q50.name} ${q50.value} ${q50.unit}`) : null,
        q50 ? h("p", { class: "meaning" }, `${q50.range} ${q50.unit} with 95 %; ${q50.meaning}.`) : null,
        n50 && n50.name === "n50" ? h("p", { class: "meaning" }, `${n50.name} ${n50.value} ${n50.unit} (${n50.range}): ${n50.meaning}.`) : null,
        h("a", { class: "button primary", href: `#runs/${result.run_id}` }, "Read the result"),
      ];
    });
  }
}
