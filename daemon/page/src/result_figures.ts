/** Which figures of a result are shown, in which words. */

import { fixed, threeFigures } from "./figures";
import type { Result } from "./types";
import { shown, unitOf, type Quantity, type Units } from "./units";

interface Figure {
  key: string;
  name: string;
  quantity: Quantity;
  meaning: string;
}

const figures: Figure[] = [
  { key: "q50_m3_h", name: "q50", quantity: "flow", meaning: "flow through the envelope at 50 Pa" },
  { key: "n50_per_h", name: "n50", quantity: "per_hour", meaning: "air changes an hour at 50 Pa" },
  { key: "qe50_m3_h_m2", name: "qE50", quantity: "flow_per_area", meaning: "q50 for each area of envelope" },
  { key: "qf50_m3_h_m2", name: "qF50", quantity: "flow_per_area", meaning: "q50 for each area of floor" },
  { key: "c_m3_h_pan", name: "C", quantity: "coefficient", meaning: "flow coefficient: the flow at 1 Pa" },
  { key: "n", name: "n", quantity: "plain", meaning: "flow exponent: 0.5 for large holes, 1 for fine cracks" },
  { key: "ela4_cm2", name: "ELA", quantity: "leak_area", meaning: "leakage area at 4 Pa" },
  { key: "eqla10_cm2", name: "EqLA", quantity: "leak_area", meaning: "leakage area at 10 Pa, as one sharp hole" },
];

export interface ShownFigure {
  name: string;
  value: string;
  range: string;
  unit: string;
  meaning: string;
}

function numberAt(result: Result, key: string): number | null {
  const value = result[key];
  return typeof value === "number" && Number.isFinite(value) ? value : null;
}

/** Low, value and high get the same decimals, or they can't be compared. */
function sameDecimals(value: number): number {
  const size = Math.abs(value);
  return size < 1e-9 ? 0 : Math.min(6, Math.max(0, 2 - Math.floor(Math.log10(size))));
}

export function figuresOf(result: Result, units: Units): ShownFigure[] {
  const out: ShownFigure[] = [];
  for (const figure of figures) {
    const value = numberAt(result, figure.key);
    if (value === null) continue;
    const unit = unitOf(figure.quantity, units);
    const decimals = figure.key === "n" ? 3 : sameDecimals(shown(value, unit));
    const text = (x: number) => fixed(shown(x, unit), decimals);
    const low = numberAt(result, `${figure.key}_low`);
    const high = numberAt(result, `${figure.key}_high`);
    out.push({
      name: figure.name,
      value: text(value),
      range: low !== null && high !== null ? `${text(low)} to ${text(high)}` : "no interval",
      unit: unit.name,
      meaning: figure.meaning,
    });
  }
  return out;
}

export function flowText(m3h: number | null, units: Units): string {
  if (m3h === null) return "not known";
  const unit = unitOf("flow", units);
  return `${threeFigures(shown(m3h, unit))} ${unit.name}`;
}

const states: Record<string, string> = {
  running: "running",
  done: "done, valid",
  invalid: "done, not valid",
  stopped: "stopped before its end",
  tripped: "ended by a trip",
  interrupted: "interrupted",
  none: "no state",
};

export function stateWords(state: string): string {
  return states[state] ?? state;
}
