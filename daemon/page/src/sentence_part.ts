/** What is happening, in one large sentence; spoken at a rate that can be listened to. */

import { h, setShown, setText } from "./dom";
import type { Part } from "./part";
import { sentenceOf } from "./sentence";
import type { State } from "./store";
import { windWarning } from "./wind_margin";

const speakEveryMs = 6000;

export class SentencePart implements Part {
  private readonly main = h("h1", {});
  private readonly meaning = h("p", { class: "meaning" });
  private readonly wind = h("p", { class: "warning", hidden: true });
  private readonly spoken = h("p", { class: "unseen", "aria-live": "polite" });
  readonly element = h("section", { class: "sentence", "aria-label": "What is happening" }, this.main, this.meaning, this.wind, this.spoken);
  private spokenAt = 0;
  private spokenPhase = "";

  update({ status, procedure, contact }: State): void {
    if (!status) {
      setText(this.main, contact.ok ? "Reading how things stand" : "Waiting for the daemon");
      return;
    }
    const said = sentenceOf(status);
    setText(this.main, said.main);
    setText(this.meaning, said.meaning);
    const warning = windWarning(status, procedure);
    setShown(this.wind, warning !== null);
    if (warning) setText(this.wind, `△ ${warning}`);
    const now = Date.now();
    if (now - this.spokenAt < speakEveryMs && status.phase === this.spokenPhase) return;
    this.spokenAt = now;
    this.spokenPhase = status.phase;
    setText(this.spoken, `${said.main}. ${warning ?? ""}`);
  }
}
