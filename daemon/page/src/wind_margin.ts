/** When the wind leaves little room between the reading and what is wanted of it. */

import { pascals, targetPascals } from "./figures";
import type { Procedure, Status } from "./types";

/** A tenth of the station: its flow is then uncertain by about as much as a good test promises. */
const restlessFrac = 0.1;

function zeroFlowLimit(procedure: Procedure | null): number | null {
  return procedure?.checks.find((check) => check.kind === "baseline_mean")?.high ?? null;
}

/** @returns what to warn of, null when all is well */
export function windWarning(status: Status, procedure: Procedure | null): string | null {
  const unrest = status.unrest_pa ?? null;
  const driven = status.phase === "stations" || status.phase === "hold" || status.phase === "look_round";
  if (driven && unrest !== null && status.target_pa !== null && unrest > restlessFrac * status.target_pa)
    return `The wind leaves little margin: it moves the pressure by ${pascals(unrest)} at a station of ${targetPascals(status.target_pa)}.`;
  const limit = zeroFlowLimit(procedure);
  if (status.run_id && limit !== null && status.zero_flow_pa !== null && Math.abs(status.zero_flow_pa) > limit)
    return `The zero-flow pressure of ${pascals(Math.abs(status.zero_flow_pa))} is above the procedure's limit of ${targetPascals(limit)}.`;
  return null;
}
