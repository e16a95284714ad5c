/** The one large sentence, and the line under it that says what it means. */

import { countdown, side, targetPascals } from "./figures";
import { isLow } from "./presence";
import type { Status } from "./types";

export interface Said {
  main: string;
  meaning: string;
}

/** How restless the building pressure is, in words. Bounds by feel: 1 Pa shows, 3 Pa spoils a low station. */
export function steadiness(unrestPa: number | null | undefined): string {
  if (unrestPa === null || unrestPa === undefined) return "";
  if (unrestPa < 0.5) return "steady";
  if (unrestPa < 1.5) return "nearly steady";
  if (unrestPa < 3) return "restless";
  return "very restless";
}

function left(s: number | null | undefined): string {
  return s ? `, ${countdown(s)} to go` : "";
}

function steadyWord(status: Status): string {
  const word = steadiness(status.unrest_pa);
  return word ? `, ${word}` : "";
}

function where(status: Status): string {
  return status.induced_pressure_pa === null ? "an unknown pressure" : side(status.induced_pressure_pa);
}

function wanted(status: Status): string {
  if (status.target_pa === null) return "";
  return `${targetPascals(status.target_pa)} ${status.direction === "pressurize" ? "above" : "below"} outdoors`;
}

function stationMeaning(status: Status): string {
  const running = status.plan?.stations.find((s) => s.state === "running");
  const name = running ? `Station ${running.station} of ${status.plan?.stations.length}` : "A station";
  return `${name}: the pressure is held near ${wanted(status)} and the flow is averaged.`;
}

function drivenSentence(status: Status): Said | null {
  switch (status.phase) {
    case "look_round":
      return {
        main: `Look-round at ${where(status)}${steadyWord(status)}${left(status.phase_left_s)}`,
        meaning: "A low pressure is held while you walk through the building.",
      };
    case "climb":
      return {
        main: `Climbing to ${wanted(status)}, now at ${where(status)}`,
        meaning: "The pressure rises slowly; you can pause it or stop.",
      };
    case "stations":
      return {
        main: `Measuring at ${where(status)}${steadyWord(status)}${left(status.phase_left_s)}`,
        meaning: stationMeaning(status),
      };
    case "hold":
      return {
        main: `Holding ${where(status)}${steadyWord(status)}${left(status.phase_left_s)}`,
        meaning: `By hand, near ${wanted(status)}; it goes on until you stop it or its time is up.`,
      };
    default:
      return null;
  }
}

function restSentence(status: Status): Said {
  switch (status.phase) {
    case "idle":
      return { main: "Idle, the fan is off", meaning: "Nothing is running. Start a run, or work by hand." };
    case "prepare":
      return { main: "Preparing the building, the fan is off", meaning: "Nothing moves before every item is answered." };
    case "baseline":
      return {
        main: `Measuring the zero-flow pressure${left(status.phase_left_s)}`,
        meaning: "The fan is covered and off: this is what wind and warmth do by themselves.",
      };
    case "uncover":
      return { main: "Make the fan ready, it is off", meaning: "The zero-flow pressure is taken. The fan starts after your answer." };
    case "closing_baseline":
      return {
        main: `Measuring the zero-flow pressure again${left(status.phase_left_s)}`,
        meaning: "The fan is covered and off. Together with the first reading it tells what the wind did meanwhile.",
      };
    case "restore":
      return { main: "The run is over, the fan is off", meaning: "The building is being put back as it was." };
    case "result":
      return { main: "The run has ended, the fan is off", meaning: "The result stands below and under Runs." };
    case "tripped":
      return { main: "Tripped, the fan is stopped", meaning: "It stays off until a person has read why and clears it." };
    default:
      return { main: status.sentence, meaning: "" };
  }
}

const atFan = new Set(["fit_restriction", "turn_fan", "cover_fan", "uncover_fan"]);

/** Seconds until the fan starts; 0 while it does not, or while hands are still at it. */
export function startsIn(status: Status): number {
  return status.asks.some((ask) => atFan.has(ask.kind)) ? 0 : Math.ceil(status.countdown_s ?? 0);
}

export function sentenceOf(status: Status): Said {
  const seconds = startsIn(status);
  if (seconds > 0)
    return {
      main: `The fan starts in ${countdown(seconds)}`,
      meaning: "Keep clear of the wheel. Any stop ends it.",
    };
  if (status.paused && isLow(status.presence))
    return { main: `No sign of life came: down to ${wanted(status)}, now at ${where(status)}`, meaning: "It stays low until you say that the run may go on." };
  if (status.paused)
    return { main: `Paused at ${where(status)}${steadyWord(status)}`, meaning: "It is held here until you go on or stop." };
  if (status.asks.some((ask) => atFan.has(ask.kind)) && status.fans.every((fan) => !fan.enabled))
    return { main: "Waiting for you, the fan is off", meaning: "It stays off until you have answered." };
  return drivenSentence(status) ?? restSentence(status);
}
