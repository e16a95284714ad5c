/** A result as a page: the figures with their intervals, each check with its clause, the plot, the files. */

import { curveSvg, type Line } from "./curve";
import { h } from "./dom";
import { dayAndTime, fixed, pascals, tight } from "./figures";
import { figuresOf, flowText, stateWords } from "./result_figures";
import type { Result, RunEntry, Verdict } from "./types";
import type { Units } from "./units";

const directionWords = { depressurize: "below outdoors", pressurize: "above outdoors" };

function number(result: Result, key: string): number | null {
  const value = result[key];
  return typeof value === "number" ? value : null;
}

function headline(result: Result, units: Units): HTMLElement[] {
  const [first] = figuresOf(result, units);
  if (!first) return [h("p", {}, "No curve could be laid through the readings.")];
  return [
    h("p", { class: "headline" }, `${first.name} ${first.value} ${first.unit}`),
    h("p", { class: "meaning" }, `${first.range} ${first.unit} with 95 %; ${first.meaning}.`),
  ];
}

function figureTable(result: Result, units: Units): HTMLElement {
  const rows = figuresOf(result, units).map((figure) =>
    h(
      "div",
      { class: "fact" },
      h("dt", {}, figure.name),
      h("dd", {}, h("span", { class: "value" }, `${figure.value} ${figure.unit}`), h("span", { class: "meaning" }, `${figure.range}; ${figure.meaning}`)),
    ),
  );
  return h("section", {}, h("h2", {}, "Figures, with 95 % intervals"), h("dl", {}, ...rows));
}

const outcomes = {
  passed: "✓ kept",
  failed: "✕ not kept",
  not_applicable: "– not judged",
};
const weights = { invalid: "the test does not count", deviation: "to be reported", advice: "to know" };

function verdictRow(verdict: Verdict): HTMLElement {
  const failed = verdict.outcome === "failed" ? `, ${weights[verdict.severity]}` : "";
  const way = verdict.direction ? ` (${directionWords[verdict.direction]})` : "";
  const judged = verdict.outcome === "not_applicable" ? "" : tight([verdict.seen_text, verdict.limit_text].filter(Boolean).join("; "));
  return h(
    "li",
    { class: `verdict ${verdict.outcome}` },
    h("strong", {}, `${outcomes[verdict.outcome]}${failed}: `),
    `${verdict.title}${way}. ${judged}`,
    h("small", {}, `${verdict.clause}; ${verdict.mark_text}`),
  );
}

function verdicts(list: Verdict[]): HTMLElement {
  const rank = { failed: 0, passed: 1, not_applicable: 2 };
  const sorted = [...list].sort((a, b) => rank[a.outcome] - rank[b.outcome]);
  const failed = list.filter((v) => v.outcome === "failed").length;
  const title = failed === 0 ? `All checks are kept (${list.length})` : `${failed} of ${list.length} checks are not kept`;
  return h("section", {}, h("h2", {}, title), h("ul", { class: "verdicts" }, ...sorted.map(verdictRow)));
}

function plot(result: Result, units: Units): HTMLElement | null {
  const points = result.stations.map((s) => ({ pa: Math.abs(s.induced_pa), m3h: s.flow_m3_h, isMarked: !s.settled || !s.signal_in_range }));
  const c = number(result, "c_m3_h_pan");
  const n = number(result, "n");
  const value = number(result, "q50_m3_h");
  const low = number(result, "q50_m3_h_low");
  const high = number(result, "q50_m3_h_high");
  if (points.length === 0) return null;
  const q50 = value !== null && low !== null && high !== null ? { value, low, high } : null;
  const line: Line | null = c !== null && n !== null ? { cM3hPan: c, n, q50 } : null;
  const words = `Flow over pressure at ${points.length} stations`;
  return h("figure", { class: "picture" }, curveSvg(points, line, units, words) as unknown as HTMLElement, h("figcaption", {}, `${words}. Squares: stations that are marked below. Bar: 95 % interval at 50 Pa.`));
}

function stations(result: Result, units: Units): HTMLElement {
  const rows = result.stations.map((s) =>
    h(
      "tr",
      {},
      h("td", {}, `${pascals(Math.abs(s.induced_pa))} ${s.direction === "depressurize" ? "below" : "above"}`),
      h("td", {}, flowText(s.flow_m3_h, units)),
      h("td", {}, s.restriction + (s.part > 0 ? ", kept from before" : "") + (s.settled ? "" : ", not settled") + (s.signal_in_range ? "" : ", signal out of range")),
    ),
  );
  const head = h("tr", {}, ...["Induced", "Flow", "Restriction"].map((name) => h("th", { scope: "col" }, name)));
  return h("section", {}, h("h2", {}, "Stations"), h("div", { class: "scroll", tabindex: 0, role: "region", "aria-label": "Stations" }, h("table", {}, h("thead", {}, head), h("tbody", {}, ...rows))));
}

function notes(title: string, texts: string[]): HTMLElement | null {
  const list = texts.filter(Boolean);
  return list.length === 0 ? null : h("section", {}, h("h2", {}, title), h("ul", { class: "notes" }, ...list.map((text) => h("li", {}, text))));
}

function files(runId: string, units: Units): HTMLElement {
  const base = `/v1/runs/${encodeURIComponent(runId)}`;
  return h(
    "section",
    { class: "files" },
    h("a", { class: "button primary", href: `${base}/report.pdf?units=${units}`, download: `${runId}.pdf` }, "Test report, PDF"),
    h("a", { class: "button plain", href: `${base}/samples.csv`, download: `${runId}.csv` }, "All samples, CSV"),
  );
}

export function resultPage(entry: RunEntry, result: Result, units: Units): (HTMLElement | null)[] {
  const r2 = result.r2 === null || result.r2 === undefined ? "" : ` The line's r² is ${fixed(result.r2, 4)}.`;
  return [
    h("h1", {}, result.building.name || "Result"),
    h("p", {}, `${result.procedure_title}, ${dayAndTime(entry.started_at)}: ${stateWords(result.state)}.${r2}`),
    ...headline(result, units),
    files(entry.run_id, units),
    notes("Against the limits", (result.targets ?? []).map((target) => target.text ?? "")),
    figureTable(result, units),
    plot(result, units),
    notes("What the readings show besides", (result.diagnosis ?? []).map((finding) => finding.text ?? "")),
    verdicts(result.verdicts ?? []),
    stations(result, units),
    notes("To keep in mind", result.cautions ?? []),
  ];
}
