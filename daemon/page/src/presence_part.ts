/** Still here: one large button with the time that is left, heard and felt when it runs out. */

import type { App } from "./app";
import type { Commands } from "./commands";
import { h, setShown, setText } from "./dom";
import type { Part } from "./part";
import { isCounting, presenceWords } from "./presence";
import type { State } from "./store";

const repeatMs = 5000;

export class PresencePart implements Part {
  private readonly said = h("span", {});
  private readonly meaning = h("small", {});
  private readonly touch: HTMLButtonElement;
  private readonly onlooker = h("p", {});
  private readonly spoken = h("p", { class: "unseen", role: "alert" });
  readonly element: HTMLElement;
  private soundedAt = 0;

  constructor(
    private readonly app: App,
    commands: Commands,
  ) {
    this.touch = h("button", { type: "button", class: "button plain", click: () => void commands.stillHere() }, this.said, this.meaning);
    this.element = h("section", { class: "presence", "aria-label": "Sign of life", hidden: true }, this.touch, this.onlooker, this.spoken);
  }

  update({ status, session }: State): void {
    const presence = status?.presence;
    const isCounted = isCounting(presence);
    setShown(this.element, isCounted);
    if (!isCounted) return setText(this.spoken, "");
    const words = presenceWords(presence);
    const isViewer = session?.role === "viewer";
    setShown(this.touch, !isViewer);
    setShown(this.onlooker, isViewer);
    setText(this.said, words.button);
    setText(this.meaning, words.meaning);
    setText(this.onlooker, `${words.meaning} An operator has to do it.`);
    this.element.classList.toggle("urgent", words.isUrgent);
    // Spoken once, not with each second.
    setText(this.spoken, words.isUrgent ? (presence.state === "due" ? "Still here? Touch, or the pressure goes down." : "The pressure went down. Touch, or the fan goes off.") : "");
    if (words.isUrgent) this.repeat();
  }

  private repeat(): void {
    if (Date.now() - this.soundedAt < repeatMs) return;
    this.soundedAt = Date.now();
    this.app.cue("here");
  }
}
