/** Shapes of the daemon's answers, as far as the page reads them. */

export type Direction = "depressurize" | "pressurize";

export interface Interval {
  value: number;
  low: number;
  high: number;
}

export interface Estimates {
  c_m3_h_pan: Interval | null;
  n: Interval | null;
  q50_m3_h: Interval | null;
}

export interface Fan {
  name: string;
  demand_frac: number;
  enabled: boolean;
  signal_pa: number | null;
  flow_m3_s: number | null;
  restriction: string;
  covered: boolean | null;
}

export interface Ask {
  id: string;
  kind: string;
  text: string;
  answers: string[];
  fan?: number;
  list?: "prepare" | "restore";
  restriction?: string;
  direction?: Direction;
}

export interface Trip {
  cause: string;
  text: string;
  at: string;
}

export interface PlanStation {
  station: number;
  direction: Direction;
  target_pa: number;
  state: "planned" | "running" | "done" | "unreachable";
  induced_pa: number | null;
  flow_m3_s: number | null;
  flow_u_frac: number | null;
}

export interface Plan {
  procedure: string;
  directions: Direction[];
  look_round_pa: number;
  tolerance_pa: number;
  stations: PlanStation[];
}

export interface Helm {
  holder: string | null;
  silent_s: number | null;
}

/** The sign of life that the run asks for; null left_s: the fan stands. */
export interface Presence {
  interval_s: number;
  left_s: number | null;
  state: "here" | "due" | "lowered" | "back";
}

/** What a sample event and the status have in common. */
export interface Fast {
  phase: string;
  sentence: string;
  building_pressure_pa: number | null;
  induced_pressure_pa: number | null;
  target_pa: number | null;
  fans: Fan[];
  device: string;
  engine_time_s: number;
  flow_m3_s?: number | null;
  unrest_pa?: number | null;
  phase_left_s?: number | null;
  run_left_s?: number | null;
  countdown_s?: number | null;
  presence?: Presence | null;
  estimates?: Estimates;
}

export interface Status extends Fast {
  run_id: string | null;
  run_state: string | null;
  zero_flow_pa: number | null;
  zero_flow_unrest_pa?: number | null;
  direction: Direction | null;
  paused: boolean;
  asks: Ask[];
  trip: Trip | null;
  rig: string;
  silence_stop?: { kind: string; text: string };
  recorder: string;
  version?: string;
  helm?: Helm;
  plan?: Plan | null;
}

export interface Session {
  identity: string;
  role: "operator" | "viewer";
  helm: { holder: string | null; is_yours: boolean; silent_s: number | null; freed_after_s: number };
}

export interface Mark {
  t_s: number;
  kind: string;
  text: string;
}

export interface Trace {
  run_id: string;
  t0_engine_s: number;
  t_s: number[];
  induced_min_pa: (number | null)[];
  induced_max_pa: (number | null)[];
  target_pa: (number | null)[];
  phases: { phase: string; from_s: number }[];
  marks: Mark[];
}

export interface Check {
  kind: string;
  high: number | null;
}

export interface Procedure {
  id: string;
  title: string;
  standard: string;
  directions: "one" | "both" | "one_or_both";
  baseline_s: number;
  baseline_after: boolean;
  look_round_pa: number;
  look_round_min_s: number;
  climb_rate_pa_s: number;
  pressure_max_pa: number;
  stations_pa: number[];
  station_settle_s: number;
  station_average_s: number;
  station_tolerance_pa: number;
  duration_least_s: number;
  duration_most_s: number;
  checklist: string[];
  restore: string[];
  checks: Check[];
}

export interface RunEntry {
  run_id: string;
  state: string;
  readable: boolean;
  procedure: string;
  building: string;
  started_at: string;
}

export interface ResultStation {
  direction: Direction;
  induced_pa: number;
  flow_m3_h: number;
  target_pa: number;
  restriction: string;
  /** 0: of this recording; else kept from an earlier part. */
  part: number;
  settled: boolean;
  signal_in_range: boolean;
}

export interface Verdict {
  label: string;
  title: string;
  seen_text: string;
  limit_text: string;
  clause: string;
  mark_text: string;
  severity: "invalid" | "deviation" | "advice";
  outcome: "passed" | "failed" | "not_applicable";
  text: string;
  direction: Direction | null;
}

export interface Finding {
  text?: string;
  grade?: string;
}

/** Figures beside these are read by name: see result_figures. */
export interface Result {
  run_id: string;
  state: string;
  computed: boolean;
  procedure: string;
  procedure_title: string;
  started_at: string;
  reference_pressure_pa: number;
  r2: number | null;
  stations: ResultStation[];
  verdicts?: Verdict[];
  cautions?: string[];
  diagnosis?: Finding[];
  targets?: { title?: string; text?: string; outcome?: string }[];
  building: { name: string; volume_m3: number | null };
  [figure: string]: unknown;
}

/** One entry of a problem document. */
export interface FieldProblem {
  field?: string;
  code: string;
  detail: string;
  hint?: string;
}

export interface LiveMessage {
  id: number;
  event: string;
  data: Record<string, unknown>;
}
