/** The one thing that the person is asked to do now. */

import type { Commands } from "./commands";
import { askWords, type AskWords } from "./ask_words";
import { button, h, Keyed, setShown } from "./dom";
import type { Part } from "./part";
import { tight } from "./figures";
import { startsIn } from "./sentence";
import type { State } from "./store";
import type { Ask } from "./types";

export class AskPart implements Part {
  readonly element = h("section", { class: "ask-place", "aria-label": "What you are asked to do" });
  private readonly ask = new Keyed(h("div", { "aria-live": "polite" }));
  private readonly countdown = new Keyed(h("div", { "aria-live": "assertive" }));
  private answering: string | null = null;

  constructor(private readonly commands: Commands) {
    this.element.append(this.countdown.element, this.ask.element);
  }

  update(state: State): void {
    const { status, session, complaint } = state;
    const seconds = status ? startsIn(status) : 0;
    this.countdown.show(seconds, () => (seconds > 0 ? [countdownCard(seconds)] : []));
    const asks = status?.asks ?? [];
    const first = asks[0];
    if (!first || first.id !== this.answering) this.answering = null;
    const isViewer = session?.role === "viewer";
    setShown(this.element, first !== undefined || seconds > 0);
    this.ask.show([first, isViewer, complaint], () => (first ? [this.card(first, isViewer, complaint)] : []));
  }

  private card(ask: Ask, isViewer: boolean, complaint: string | null): HTMLElement {
    const words = askWords(ask);
    const progress = words.total > 0 ? h("progress", { max: words.total, value: words.number - 1, "aria-label": `${words.number - 1} of ${words.total} answered` }) : null;
    const answers = isViewer
      ? h("p", {}, "An operator has to answer this; you are signed in to look on.")
      : h("div", { class: "answers" }, ...ask.answers.map((answer) => this.answerButton(ask, answer, words)));
    return h(
      "div",
      { class: `ask ${ask.kind}` },
      h("p", { class: "kicker" }, words.kicker),
      progress,
      h("h2", { class: words.title.length > 48 ? "long" : "" }, words.title),
      words.body ? h("p", { class: "body" }, tight(words.body)) : null,
      words.caution ? h("p", { class: "caution" }, `△ ${words.caution}`) : null,
      answers,
      complaint ? h("p", { class: "complaint", role: "alert" }, complaint) : null,
    );
  }

  private answerButton(ask: Ask, answer: string, words: AskWords): HTMLElement {
    const act = () => {
      if (this.answering === ask.id) return;
      this.answering = ask.id;
      void this.commands.answer(ask.id, answer).then((ok) => {
        if (!ok) this.answering = null;
      });
    };
    const said = words.answers[answer] ?? answer;
    return button(said, answer === "done" ? "primary" : answer === "stop" ? "halt" : "plain", act);
  }
}

function countdownCard(seconds: number): HTMLElement {
  return h("div", { class: "countdown" }, h("p", { class: "number" }, String(seconds)), h("p", {}, `The fan starts in ${seconds} s. Keep clear of the wheel; stop ends it.`));
}
