/** Figures with their units, each with a line that says what it means. */

import { duration, fixed, pascals, percent, side, targetPascals } from "./figures";
import { h, setText } from "./dom";
import type { Part } from "./part";
import { flowText } from "./result_figures";
import { steadiness } from "./sentence";
import type { State } from "./store";
import type { Interval, Status } from "./types";
import type { Units } from "./units";

type Fact = { value: string; meaning: string };

function pressure(status: Status): Fact {
  const pa = status.induced_pressure_pa ?? status.building_pressure_pa;
  if (pa === null) return { value: "not known", meaning: "The pressure reading is missing." };
  const unrest = status.unrest_pa ?? null;
  const steady = unrest === null ? "" : `${capital(steadiness(unrest))}: it moves by ${pascals(unrest)}. `;
  const zero = status.zero_flow_pa === null ? "As read; the zero-flow pressure is not taken yet." : `The zero-flow pressure, ${side(status.zero_flow_pa)}, is taken off.`;
  return { value: side(pa), meaning: steady + zero };
}

function fan(status: Status): Fact {
  const fans = status.fans;
  const value = fans.map((f) => (f.enabled ? `${percent(f.demand_frac)} of full` : "off")).join(", ");
  const fitted = fans.map((f) => (f.covered ? `covered, ${f.restriction} in it` : `${f.restriction} fitted`)).join("; ");
  const signals = fans.map((f) => (f.signal_pa === null ? "no signal" : `signal ${targetPascals(f.signal_pa)}`)).join(", ");
  return { value, meaning: `${capital(fitted)}; ${signals}.` };
}

function totalFlow(status: Status): number | null {
  const flows = status.fans.map((f) => f.flow_m3_s);
  return flows.every((f): f is number => f !== null) ? flows.reduce((a, b) => a + b, 0) * 3600 : null;
}

function flow(status: Status, units: Units): Fact {
  const m3h = totalFlow(status);
  if (m3h === null) return { value: "none to read", meaning: "The fan is off, or its signal is below what the restriction is made for." };
  return { value: flowText(m3h, units), meaning: "Air through the fan, as read." };
}

function range(interval: Interval, text: (x: number) => string): string {
  return `95 % sure of ${text(interval.low)} to ${text(interval.high)}`;
}

function leakage(status: Status, units: Units): Fact {
  const q50 = status.estimates?.q50_m3_h ?? null;
  if (!q50) return { value: "not known yet", meaning: "It shows as soon as the fan has moved air." };
  return { value: `q50 ${flowText(q50.value, units)}`, meaning: `Flow at 50 Pa as learnt so far, ${range(q50, (x) => flowText(x, units))}.` };
}

function exponent(status: Status): Fact {
  const n = status.estimates?.n ?? null;
  if (!n) return { value: "not known yet", meaning: "How the leaks behave; it needs more than one pressure." };
  return { value: `n ${fixed(n.value, 2)}`, meaning: `0.5 large holes, 1 fine cracks; ${range(n, (x) => fixed(x, 2))}.` };
}

function timeLeft(status: Status): Fact {
  const phase = status.phase_left_s ? `${duration(status.phase_left_s)} in this part` : "";
  if (status.run_left_s !== null && status.run_left_s !== undefined) return { value: `about ${duration(status.run_left_s)}`, meaning: `Of the run${phase ? `, ${phase}` : ""}; your own work is not counted.` };
  return phase ? { value: phase, meaning: "As long as nothing disturbs it." } : { value: "nothing runs", meaning: "No time is counted." };
}

function need(status: Status): Fact {
  if (status.trip) return { value: "yes", meaning: "The trip has to be read and cleared." };
  const count = status.asks.length;
  if (count === 0) return { value: "no", meaning: "Nothing waits for an answer." };
  return { value: "yes", meaning: count === 1 ? "One thing waits for your answer." : `${count} things wait for your answer, one after the other.` };
}

const capital = (text: string) => text.charAt(0).toUpperCase() + text.slice(1);

const rows = ["Pressure", "Fan", "Flow", "Leakage", "Exponent", "Time left", "Needs you"] as const;

export class FactsPart implements Part {
  private readonly values = rows.map(() => h("span", { class: "value" }));
  private readonly meanings = rows.map(() => h("span", { class: "meaning" }));
  readonly element: HTMLElement;

  constructor() {
    const list = h("dl", {}, ...rows.map((name, i) => h("div", { class: "fact" }, h("dt", {}, name), h("dd", {}, this.values[i], this.meanings[i]))));
    this.element = h("section", { class: "facts", "aria-labelledby": "facts-title" }, h("h2", { id: "facts-title" }, "In figures"), list);
  }

  update({ status, settings }: State): void {
    if (!status) return;
    const facts = [pressure(status), fan(status), flow(status, settings.units), leakage(status, settings.units), exponent(status), timeLeft(status), need(status)];
    facts.forEach((fact, i) => {
      setText(this.values[i]!, fact.value);
      setText(this.meanings[i]!, fact.meaning);
    });
  }
}
