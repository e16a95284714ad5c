/** The staircase that is still to come, laid out over the time that is left. */

import type { Direction, Plan, Procedure, Status } from "./types";

export interface Step {
  fromS: number;
  toS: number;
  /** Signed: indoor minus outdoor; 0 where the fan is off. */
  targetPa: number;
  kind: "baseline" | "look_round" | "station";
  station: number | null;
}

/** A run by a procedure: a hold or a zero-flow reading by hand has no end that could be expected. */
export function isRun(status: Status): boolean {
  return status.run_state === "running" && (status.run_left_s ?? null) !== null && Boolean(status.plan);
}

interface Wish {
  seconds: number;
  targetPa: number;
  kind: Step["kind"];
  station: number | null;
}

const order = ["prepare", "baseline", "uncover", "learn_drive", "look_round", "climb", "stations", "closing_baseline"];

/** Seconds from one station to the next, and what a fan needs to get there. */
const travelS = 5;

export function signOf(direction: Direction): 1 | -1 {
  return direction === "depressurize" ? -1 : 1;
}

/** What a direction that has not begun will ask for. */
function wholeDirection(plan: Plan, procedure: Procedure, direction: Direction): Wish[] {
  const sign = signOf(direction);
  const stations = plan.stations.filter((s) => s.direction === direction);
  const first = stations[0]?.target_pa ?? 0;
  const wishes: Wish[] = [
    { seconds: procedure.baseline_s, targetPa: 0, kind: "baseline", station: null },
    {
      seconds: procedure.look_round_min_s + first / Math.max(0.1, procedure.climb_rate_pa_s),
      targetPa: sign * plan.look_round_pa,
      kind: "look_round",
      station: null,
    },
  ];
  for (const s of stations)
    wishes.push({
      seconds: travelS + procedure.station_settle_s + procedure.station_average_s,
      targetPa: sign * s.target_pa,
      kind: "station",
      station: s.station,
    });
  if (procedure.baseline_after) wishes.push({ seconds: procedure.baseline_s, targetPa: 0, kind: "baseline", station: null });
  return wishes;
}

/** Of the direction in hand: what its phase has not behind it. */
function restOfDirection(plan: Plan, procedure: Procedure, direction: Direction, phase: string): Wish[] {
  const all = wholeDirection(plan, procedure, direction);
  const at = order.indexOf(phase);
  if (at < 0) return [];
  const isDone = (station: number | null) =>
    plan.stations.some((s) => s.direction === direction && s.station === station && (s.state === "done" || s.state === "unreachable"));
  return all.filter((wish, i) => {
    const isClosing = wish.kind === "baseline" && i > 0;
    if (isClosing) return true;
    if (wish.kind === "baseline") return at <= order.indexOf("baseline");
    if (wish.kind === "look_round") return at <= order.indexOf("look_round");
    return at <= order.indexOf("stations") && !isDone(wish.station);
  });
}

/**
 * @param nowS on the trace's own time
 * @returns what is to come, stretched over the daemon's own figure for the time that is left
 */
export function stepsToCome(status: Status, procedure: Procedure | null, nowS: number): Step[] {
  const plan = status.plan;
  if (!plan || !procedure || !status.direction || !isRun(status)) return [];
  const inHand = plan.directions.indexOf(status.direction);
  const wishes = restOfDirection(plan, procedure, status.direction, status.phase);
  for (const direction of plan.directions.slice(inHand + 1)) wishes.push(...wholeDirection(plan, procedure, direction));
  const sum = wishes.reduce((total, wish) => total + wish.seconds, 0);
  const stretch = status.run_left_s && sum > 0 ? status.run_left_s / sum : 1;
  let at = nowS;
  return wishes.map((wish) => {
    const step = { fromS: at, toS: at + wish.seconds * stretch, targetPa: wish.targetPa, kind: wish.kind, station: wish.station };
    at = step.toS;
    return step;
  });
}
