/** Says since when nothing is heard, so that nobody takes old figures for new ones. */

import { h, setShown, setText } from "./dom";
import { clock, duration } from "./figures";
import type { Part } from "./part";
import type { State } from "./store";

export class ContactBanner implements Part {
  private readonly said = h("p", {});
  private readonly spoken = h("p", { class: "unseen", role: "status" });
  private readonly banner = h("div", { class: "no-contact", hidden: true }, this.said);
  readonly element = h("div", {}, this.banner, this.spoken);

  update({ contact, needsToken }: State): void {
    const isLost = !contact.ok && needsToken === false;
    document.documentElement.dataset.contact = isLost ? "lost" : "ok";
    setShown(this.banner, isLost);
    const since = `No contact since ${clock(new Date(contact.sinceMs))}`;
    if (isLost) setText(this.said, `✕ ${since}, ${duration((Date.now() - contact.sinceMs) / 1000)}. What you see is old. The daemon goes on by itself.`);
    setText(this.spoken, isLost ? since : "");
  }
}
