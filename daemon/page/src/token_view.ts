/** The way in where there is no pair link: a token, typed. */

import type { App } from "./app";
import { h, setText } from "./dom";
import type { Part } from "./part";
import type { State } from "./store";

export class TokenView implements Part {
  private readonly input = h("input", { id: "token", type: "password", autocomplete: "current-password", autocapitalize: "none", spellcheck: "false" });
  private readonly complaint = h("p", { class: "complaint", role: "alert" });
  readonly element: HTMLElement;

  constructor(private readonly app: App) {
    const form = h(
      "form",
      { submit: (event) => this.submit(event) },
      h("label", { for: "token" }, "Token"),
      this.input,
      this.complaint,
      h("button", { type: "submit", class: "button primary" }, "Enter"),
    );
    this.element = h("main", { class: "token", id: "main" }, h("h1", {}, "Leeward"), h("p", {}, "This device is not paired. Open the pair link that the daemon's owner gives you, or type the token."), form);
  }

  update(_: State): void {}

  private submit(event: Event): void {
    event.preventDefault();
    void this.app.pair(this.input.value.trim()).then((complaint) => {
      this.input.value = "";
      setText(this.complaint, complaint ?? "");
    });
  }
}
