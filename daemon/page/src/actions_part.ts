/** What can be done just now, beside stopping. */

import type { Commands, HandHold } from "./commands";
import { button, h, Keyed } from "./dom";
import { isRun } from "./plan_steps";
import { isLow } from "./presence";
import type { Part } from "./part";
import type { State } from "./store";
import type { Direction } from "./types";

const lookRoundPa = 10;

type Mode = "none" | "viewer" | "pausable" | "paused" | "low" | "by_hand" | "holding";

function modeOf({ status, session }: State): Mode {
  if (!status || status.trip) return "none";
  if (session?.role === "viewer") return "viewer";
  if (isRun(status)) {
    if (status.paused) return isLow(status.presence) ? "low" : "paused";
    const canPause = ["look_round", "climb", "stations"].includes(status.phase) && status.fans.some((f) => f.enabled);
    return canPause ? "pausable" : "none";
  }
  if (status.phase === "hold" || status.phase === "climb") return "holding";
  return ["idle", "result", "restore"].includes(status.phase) ? "by_hand" : "none";
}

export class ActionsPart implements Part {
  readonly element = h("section", { class: "actions", "aria-label": "What you can do" });
  private readonly keyed = new Keyed(this.element);
  private isByHandOpen = false;
  private readonly complaint = new Keyed(h("div", {}));

  constructor(private readonly commands: Commands) {}

  update(state: State): void {
    const mode = modeOf(state);
    const direction = state.status?.direction ?? "depressurize";
    const hasZero = state.status?.zero_flow_pa !== null && state.status?.zero_flow_pa !== undefined;
    const isAsked = (state.status?.asks.length ?? 0) > 0;
    this.keyed.show([mode, direction, hasZero], () => [...this.build(mode, direction, hasZero), this.complaint.element]);
    // Where an ask is open its card says what went wrong.
    const complaint = isAsked ? null : state.complaint;
    this.complaint.show(complaint, () => (complaint ? [h("p", { class: "complaint", role: "alert" }, complaint)] : []));
  }

  private build(mode: Mode, direction: Direction, hasZero: boolean): HTMLElement[] {
    switch (mode) {
      case "viewer":
        return [h("p", { class: "meaning" }, "You are signed in to look on. An operator can pause, answer and stop; so can the hand switch at the fan.")];
      case "pausable":
        return [
          button("Pause here", "plain", () => void this.commands.pause(), "holds the pressure where it is"),
          button("Turn back", "plain", () => this.commands.stop(), "ends the run, the fan goes off"),
        ];
      case "paused":
        return [
          button("Go on", "primary", () => void this.commands.goOn(), "from where it was paused"),
          button("Turn back", "plain", () => this.commands.stop(), "ends the run, the fan goes off"),
        ];
      case "low":
        return [
          button("All is well, go on", "primary", () => void this.commands.goOn(), "the pressure rises slowly again"),
          button("Turn back", "plain", () => this.commands.stop(), "ends the run, the fan goes off"),
        ];
      case "holding":
        return [
          button("Turn back", "plain", () => void this.commands.hold({ target_pa: lookRoundPa, direction, look_round_done: false }), `to the look-round pressure of ${lookRoundPa} Pa`),
          this.byHand(direction, true),
        ];
      case "by_hand":
        return [h("a", { class: "button primary", href: "#start" }, "Start a run"), this.byHand(direction, hasZero)];
      default:
        return [];
    }
  }

  private byHand(direction: Direction, hasZero: boolean): HTMLElement {
    const target = h("input", { id: "hand-target", type: "number", inputmode: "decimal", min: 1, max: 100, step: 1, value: lookRoundPa });
    const rate = h("input", { id: "hand-rate", type: "number", inputmode: "decimal", min: 0.05, max: 20, step: 0.05, value: 1 });
    const side = h("select", { id: "hand-side" }, h("option", { value: "depressurize" }, "below outdoors"), h("option", { value: "pressurize" }, "above outdoors"));
    side.value = direction;
    const looked = h("input", { id: "hand-looked", type: "checkbox" });
    const wish = (): HandHold => ({ target_pa: Number(target.value), direction: side.value as Direction, look_round_done: looked.checked });
    const zero = button("Take the zero-flow pressure", "plain", () => void this.commands.baseline(30), "30 s, with the fan covered");
    const fields = h(
      "div",
      { class: "fields" },
      h("label", { for: "hand-target" }, "Pressure, Pa"),
      target,
      h("label", { for: "hand-side" }, "Which way"),
      side,
      h("label", { for: "hand-rate" }, "Speed of a climb, Pa/s"),
      rate,
    );
    const check = h("label", { class: "check", for: "hand-looked" }, looked, "We have looked round at a low pressure and all is well (needed above it)");
    const go = [
      button("Hold", "plain", () => void this.commands.hold(wish()), "the fan starts at once"),
      button("Climb", "plain", () => void this.commands.climb({ ...wish(), rate_pa_s: Number(rate.value) }), "slowly, the fan starts at once"),
    ];
    const needsZero = h("p", { class: "meaning" }, "First cover the fan and take the zero-flow pressure; then take the cover off and step back.");
    const details = h("details", { open: this.isByHandOpen, toggle: () => (this.isByHandOpen = details.open) });
    details.append(h("summary", {}, "By hand"), h("p", { class: "caution" }, "△ By hand nobody is asked for anything: appliances off, cover off, hands away."), zero, ...(hasZero ? [fields, check, ...go] : [needsZero]));
    return details;
  }
}
