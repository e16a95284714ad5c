/** The view that a person walks around with. */

import type { App } from "./app";
import { ActionsPart } from "./actions_part";
import { AskPart } from "./ask_part";
import type { Commands } from "./commands";
import { CurvePart } from "./curve_part";
import { h } from "./dom";
import { EventsPart } from "./events_part";
import { FactsPart } from "./facts_part";
import { OutcomePart } from "./outcome_part";
import type { Part } from "./part";
import { startsIn } from "./sentence";
import { SentencePart } from "./sentence_part";
import { Staircase } from "./staircase";
import type { State } from "./store";

export class NowView implements Part {
  readonly element = h("main", { class: "now", id: "main" });
  readonly staircase: Staircase;
  private readonly parts: Part[];

  constructor(app: App, commands: Commands) {
    this.staircase = new Staircase(app.store);
    const sentence = new SentencePart();
    const ask = new AskPart(commands);
    const facts = new FactsPart();
    const actions = new ActionsPart(commands);
    const curve = new CurvePart();
    const events = new EventsPart(app.store.trace);
    const outcome = new OutcomePart();
    this.parts = [sentence, ask, facts, actions, curve, events, outcome];
    const picture = h("section", { class: "picture-place", "aria-label": "Picture of the run" }, this.staircase.element);
    this.element.append(
      h("div", { class: "column first" }, sentence.element, picture, curve.element),
      h("div", { class: "column second" }, ask.element, outcome.element, actions.element, facts.element, events.element),
    );
  }

  update(state: State): void {
    this.element.classList.toggle("has-ask", (state.status?.asks.length ?? 0) > 0 || (state.status !== null && startsIn(state.status) > 0));
    this.element.classList.toggle("has-list", state.status?.asks[0]?.kind === "checklist");
    for (const part of this.parts) part.update(state);
  }
}
