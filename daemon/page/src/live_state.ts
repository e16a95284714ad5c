/** How a live message changes what is known. Pure; what it can't tell by itself asks for a fresh status. */

import type { Fast, LiveMessage, Status, Trip } from "./types";

export interface Effects {
  status: Status | null;
  /** The status has to be read again: something but the readings has changed. */
  stale: boolean;
  /** Events were lost: the trace has to be read again as well. */
  gap: boolean;
}

const fastKeys: (keyof Fast)[] = [
  "phase",
  "sentence",
  "building_pressure_pa",
  "induced_pressure_pa",
  "target_pa",
  "fans",
  "device",
  "engine_time_s",
  "flow_m3_s",
  "unrest_pa",
  "phase_left_s",
  "run_left_s",
  "countdown_s",
  "presence",
  "estimates",
];

function withSample(status: Status, data: Partial<Fast>): Status {
  const next: Status = { ...status };
  const target = next as unknown as Record<string, unknown>;
  for (const key of fastKeys) if (key in data) target[key] = data[key];
  return next;
}

function withTrip(status: Status, data: Record<string, unknown>): Status {
  if (data.state === "cleared") return { ...status, trip: null };
  const trip: Trip = { cause: String(data.cause), text: String(data.text), at: String(data.at ?? "") };
  return { ...status, trip };
}

export function applied(status: Status | null, message: LiveMessage): Effects {
  const { event, data } = message;
  if (event === "status") return { status: data as unknown as Status, stale: false, gap: false };
  if (event === "gap") return { status, stale: true, gap: true };
  if (status === null) return { status, stale: true, gap: false };
  switch (event) {
    case "sample":
      return { status: withSample(status, data as Partial<Fast>), stale: false, gap: false };
    case "trip":
      return { status: withTrip(status, data), stale: true, gap: false };
    case "phase":
      return { status: { ...status, phase: String(data.phase) }, stale: true, gap: false };
    case "ask":
      return { status: data.state === "open" ? status : withoutAsk(status, String(data.id)), stale: true, gap: false };
    case "verdict":
    case "stopped":
      return { status, stale: false, gap: false };
    default:
      return { status, stale: true, gap: false };
  }
}

function withoutAsk(status: Status, id: string): Status {
  return { ...status, asks: status.asks.filter((ask) => ask.id !== id) };
}
