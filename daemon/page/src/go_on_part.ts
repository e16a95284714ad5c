/** A run that did not come to its end, and the way to go on with it. */

import { button, h, replace } from "./dom";
import { post, wordsOf } from "./http";
import { randomKey } from "./random_key";
import type { RunEntry } from "./types";

const brokenOff = new Set(["interrupted", "tripped", "stopped"]);
const byHand = new Set(["hold", "baseline", "rig-learn"]);

/** @returns null for a run that came to its end, and for what was done by hand */
export function goOnSection(entry: RunEntry, isStarted: () => void): HTMLElement | null {
  if (!entry.readable || !brokenOff.has(entry.state) || byHand.has(entry.procedure)) return null;
  const complaint = h("div", { role: "alert" });
  // One number for all presses, so that a lost answer can't start a second run.
  const key = randomKey();
  const goOn = async () => {
    try {
      await post(`/v1/runs/${encodeURIComponent(entry.run_id)}/resume`, {}, { "Idempotency-Key": key });
      isStarted();
    } catch (error) {
      replace(complaint, h("p", { class: "complaint" }, wordsOf(error)));
    }
  };
  return h(
    "section",
    { class: "go-on" },
    button("Go on with this run", "primary", () => void goOn()),
    h("p", {}, "Finished stations are kept. You are asked everything again, and a fresh zero-flow pressure is taken; nothing moves before that."),
    complaint,
  );
}
