/** What becomes of a stop that was touched: sent, accepted, confirmed by the fan itself, or not. */

import type { Fan } from "./types";

export type StopStep = "idle" | "sent" | "accepted" | "unreachable" | "unconfirmed" | "off" | "at_rest";

export interface StopState {
  step: StopStep;
  sinceMs: number;
}

export const noStop: StopState = { step: "idle", sinceMs: 0 };

/** How long a confirmation may take before the hand switch is named. */
export const confirmWithinMs = 3000;

/** Below this the wheel moves no air worth a reading. */
const restSignalPa = 2;

export type FanMotion = "driven" | "running_down" | "at_rest";

export function motionOf(fans: Fan[]): FanMotion {
  if (fans.some((fan) => fan.enabled || fan.demand_frac > 0)) return "driven";
  return fans.some((fan) => (fan.signal_pa ?? 0) > restSignalPa) ? "running_down" : "at_rest";
}

const waiting = (step: StopStep) => step === "sent" || step === "accepted" || step === "unreachable" || step === "unconfirmed";

export function touched(nowMs: number): StopState {
  return { step: "sent", sinceMs: nowMs };
}

/** Neither way reached the daemon. */
export function failed(state: StopState): StopState {
  return state.step === "sent" || state.step === "unconfirmed" ? { ...state, step: "unreachable" } : state;
}

export function accepted(state: StopState): StopState {
  return waiting(state.step) ? { ...state, step: "accepted" } : state;
}

/** @param motion null while nothing is heard of the fan */
export function watched(state: StopState, motion: FanMotion | null, nowMs: number): StopState {
  if (state.step === "off" || state.step === "at_rest") {
    if (motion === "driven") return noStop;
    return motion === "at_rest" ? { ...state, step: "at_rest" } : state;
  }
  if (!waiting(state.step)) return state;
  // The fan's own state counts, and only as it is after the daemon took the stop.
  if (state.step === "accepted" && motion === "at_rest") return { ...state, step: "at_rest" };
  if (state.step === "accepted" && motion === "running_down") return { ...state, step: "off" };
  const late = nowMs - state.sinceMs > confirmWithinMs;
  return late && state.step !== "unreachable" ? { ...state, step: "unconfirmed" } : state;
}

export function stopText(state: StopState, motion: FanMotion | null): string {
  switch (state.step) {
    case "sent":
    case "accepted":
      return "Stopping…";
    case "unreachable":
      return "The daemon can't be reached. Use the hand switch at the fan.";
    case "unconfirmed":
      return "The fan has not confirmed within 3 s. Use the hand switch at the fan.";
    case "off":
      return "The fan is switched off and running down.";
    case "at_rest":
      return "The fan is at rest.";
    case "idle":
      if (motion === null) return "Nothing is heard of the fan.";
      return { driven: "The fan is driven.", running_down: "The fan is off, running down.", at_rest: "The fan is at rest." }[motion];
  }
}
