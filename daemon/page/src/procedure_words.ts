/** A procedure in plain words. */

import { h } from "./dom";
import { countdown, targetPascals } from "./figures";
import type { Procedure } from "./types";

const directionWords = {
  one: "One direction.",
  both: "Both directions, one after the other; the result is their mean.",
  one_or_both: "One direction or both.",
};

function minutes(procedure: Procedure): string {
  const least = Math.ceil(procedure.duration_least_s / 60);
  const most = Math.ceil(procedure.duration_most_s / 60);
  return least === most ? `${least} min` : `${least} to ${most} min`;
}

export function explanation(procedure: Procedure): HTMLElement[] {
  const stations = procedure.stations_pa;
  const count = stations.length === 1 ? "One station" : `${stations.length} stations`;
  const steps = [
    `Preparing: ${procedure.checklist.length} items, answered one by one.`,
    `Zero-flow pressure, the fan covered, ${countdown(procedure.baseline_s)}.`,
    `Look-round at ${targetPascals(procedure.look_round_pa)} until you answer that all is well.`,
    `${count}: ${stations.map((pa) => targetPascals(pa).replace("\u00a0Pa", "")).join(", ")} Pa.`,
    procedure.baseline_after ? "Zero-flow pressure again." : "",
    `Putting back: ${procedure.restore.length} items.`,
  ].filter(Boolean);
  return [
    h("p", {}, `About ${minutes(procedure)}, and what you take for your work. ${directionWords[procedure.directions]} Never above ${targetPascals(procedure.pressure_max_pa)}.`),
    h("details", {}, h("summary", {}, "What is done"), h("ol", {}, ...steps.map((step) => h("li", {}, step)))),
    h("details", {}, h("summary", {}, `What you will be asked before it (${procedure.checklist.length})`), h("ol", {}, ...procedure.checklist.map((item) => h("li", {}, item)))),
  ];
}
