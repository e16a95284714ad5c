/** Flow over pressure, both in steps of ten: the stations, and the line through them. */

import { svg } from "./dom";
import { shown, unitOf, type Units } from "./units";
import type { Interval } from "./types";

export interface CurvePoint {
  pa: number;
  m3h: number;
  isMarked: boolean;
}

export interface Line {
  cM3hPan: number;
  n: number;
  q50: Interval | null;
}

const width = 360;
const height = 240;
const box = { left: 52, right: 350, top: 12, bottom: 204 };
const roundSteps = [1, 2, 5];

function ticks(from: number, to: number): number[] {
  const out: number[] = [];
  for (let power = Math.floor(Math.log10(from)); power <= Math.ceil(Math.log10(to)); power++)
    for (const step of roundSteps) {
      const value = step * 10 ** power;
      if (value >= from * 0.999 && value <= to * 1.001) out.push(value);
    }
  return out;
}

function scale(from: number, to: number, low: number, high: number): (value: number) => number {
  const span = Math.log(to / from);
  return (value) => low + (Math.log(value / from) / span) * (high - low);
}

function axes(x: (v: number) => number, y: (v: number) => number, paTicks: number[], flowTicks: number[], unit: string): SVGElement[] {
  const parts: SVGElement[] = [];
  for (const pa of paTicks) {
    parts.push(svg("line", { class: "grid", x1: x(pa), x2: x(pa), y1: box.top, y2: box.bottom }));
    parts.push(svg("text", { x: x(pa), y: box.bottom + 16, "text-anchor": "middle" }, String(pa)));
  }
  for (const flow of flowTicks) {
    parts.push(svg("line", { class: "grid", x1: box.left, x2: box.right, y1: y(flow), y2: y(flow) }));
    parts.push(svg("text", { x: box.left - 5, y: y(flow) + 4, "text-anchor": "end" }, String(flow)));
  }
  parts.push(svg("text", { x: box.right, y: height - 4, "text-anchor": "end" }, "Pa induced"));
  parts.push(svg("text", { x: 4, y: height - 4 }, `flow, ${unit}`));
  return parts;
}

function fitLine(x: (v: number) => number, y: (v: number) => number, line: Line, from: number, to: number, factor: number): SVGElement[] {
  const flow = (pa: number) => factor * line.cM3hPan * pa ** line.n;
  const parts = [svg("line", { class: "fit", x1: x(from), y1: y(flow(from)), x2: x(to), y2: y(flow(to)) })];
  if (line.q50)
    parts.push(svg("line", { class: "interval", x1: x(50), x2: x(50), y1: y(factor * line.q50.low), y2: y(factor * line.q50.high) }));
  return parts;
}

export function curveSvg(points: CurvePoint[], line: Line | null, units: Units, description: string): SVGElement {
  const unit = unitOf("flow", units);
  const pas = points.map((p) => p.pa);
  const from = Math.min(9, ...pas) * 0.95;
  const to = Math.max(60, ...pas) * 1.08;
  const lineFlow = (pa: number) => (line ? shown(line.cM3hPan * pa ** line.n, unit) : NaN);
  const flows = points.map((p) => shown(p.m3h, unit));
  for (const pa of [from, to]) if (Number.isFinite(lineFlow(pa))) flows.push(lineFlow(pa));
  const low = Math.min(...flows) * 0.9;
  const high = Math.max(...flows) * 1.12;
  const x = scale(from, to, box.left, box.right);
  const y = scale(low, high, box.bottom, box.top);
  const dots = points.map((p) => {
    const at = { cx: x(p.pa), cy: y(shown(p.m3h, unit)) };
    return p.isMarked
      ? svg("rect", { class: "marked", x: at.cx - 5, y: at.cy - 5, width: 10, height: 10 })
      : svg("circle", { ...at, r: 5 });
  });
  return svg(
    "svg",
    { viewBox: `0 0 ${width} ${height}`, class: "curve", role: "img", "aria-label": description },
    ...axes(x, y, ticks(from, to), ticks(low, high), unit.name),
    ...(line ? fitLine(x, y, line, from, to, unit.factor) : []),
    ...dots,
  );
}
