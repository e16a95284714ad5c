/** What is painted around the trace: steps, bands, haze and marks. */

import type uPlot from "uplot";
import type { Columns, Haze } from "./columns";
import type { Palette } from "./palette";
import type { Step } from "./plan_steps";
import type { View } from "./staircase";
import type { Mark } from "./types";

export interface Scene {
  view: View;
  steps: Step[];
  columns: Columns;
  haze: Haze;
  unrestPa: number;
  tolerancePa: number;
  marks: Mark[];
  phases: { phase: string; from_s: number }[];
  nowS: number;
  isRunning: boolean;
  colours: Palette;
}

const x = (u: uPlot, s: number) => u.valToPos(s, "x", true);
const y = (u: uPlot, pa: number) => u.valToPos(pa, "y", true);

function clipped(u: uPlot, paint: (c: CanvasRenderingContext2D) => void): void {
  const c = u.ctx;
  c.save();
  c.beginPath();
  c.rect(u.bbox.left, u.bbox.top, u.bbox.width, u.bbox.height);
  c.clip();
  c.textAlign = "left";
  c.textBaseline = "alphabetic";
  paint(c);
  c.restore();
}

const words: Record<string, string> = {
  baseline: "zero flow",
  learn_drive: "drive",
  look_round: "look-round",
  climb: "climb",
  stations: "stations",
  closing_baseline: "zero flow",
  hold: "hold",
};

/** Says along the lower edge which part of the run it was, where there is room. */
export function drawPhases(u: uPlot, scene: Scene): void {
  clipped(u, (c) => {
    const ratio = devicePixelRatio;
    c.font = `${12 * ratio}px system-ui, sans-serif`;
    c.fillStyle = scene.colours.soft;
    c.strokeStyle = scene.colours.line;
    scene.phases.forEach(({ phase, from_s }, i) => {
      const left = x(u, from_s);
      const right = x(u, scene.phases[i + 1]?.from_s ?? scene.nowS);
      const word = words[phase];
      if (!word || c.measureText(word).width > right - left - 6 * ratio) return;
      c.fillText(word, left + 3 * ratio, u.bbox.top + u.bbox.height - 5 * ratio);
    });
  });
}

/** Behind: what the wind did. Ahead: what it would do if it goes on as it does now. */
export function drawHaze(u: uPlot, scene: Scene): void {
  const { haze, steps, unrestPa, view, colours } = scene;
  clipped(u, (c) => {
    c.fillStyle = colours.haze;
    if (haze.t.length > 1) {
      c.beginPath();
      haze.t.forEach((t, i) => c.lineTo(x(u, t), y(u, haze.high[i] ?? 0)));
      for (let i = haze.t.length - 1; i >= 0; i--) c.lineTo(x(u, haze.t[i] ?? 0), y(u, haze.low[i] ?? 0));
      c.fill();
    }
    for (const step of steps) {
      const top = y(u, view.up * step.targetPa + 2 * unrestPa);
      const bottom = y(u, view.up * step.targetPa - 2 * unrestPa);
      c.fillRect(x(u, step.fromS), top, x(u, step.toS) - x(u, step.fromS), bottom - top);
    }
  });
}

/** The staircase to come: dashed, with the tolerance of each station around it. */
export function drawSteps(u: uPlot, scene: Scene): void {
  const { steps, view, tolerancePa, colours } = scene;
  if (steps.length === 0) return;
  clipped(u, (c) => {
    const ratio = devicePixelRatio;
    c.fillStyle = colours.band;
    for (const step of steps) {
      if (step.kind !== "station") continue;
      const top = y(u, view.up * step.targetPa + tolerancePa);
      c.fillRect(x(u, step.fromS), top, x(u, step.toS) - x(u, step.fromS), y(u, view.up * step.targetPa - tolerancePa) - top);
    }
    c.strokeStyle = colours.plan;
    c.lineWidth = 2 * ratio;
    c.setLineDash([6 * ratio, 4 * ratio]);
    c.beginPath();
    for (const step of steps) {
      const level = y(u, view.up * step.targetPa);
      c.lineTo(x(u, step.fromS), level);
      c.lineTo(x(u, step.toS), level);
    }
    c.stroke();
  });
}

/** What was wanted up to now: a plain line with its tolerance, under the trace. */
export function drawWanted(u: uPlot, scene: Scene): void {
  const { columns, tolerancePa, colours } = scene;
  clipped(u, (c) => {
    c.lineWidth = 2 * devicePixelRatio;
    c.strokeStyle = colours.plan;
    c.fillStyle = colours.band;
    for (let i = 0; i < columns.t.length; ) {
      const level = columns.target[i] ?? null;
      let end = i + 1;
      while (end < columns.t.length && (columns.target[end] ?? null) === level) end++;
      if (level !== null) {
        const left = x(u, columns.t[i] ?? 0);
        const right = x(u, columns.t[Math.min(end, columns.t.length - 1)] ?? 0);
        c.fillRect(left, y(u, level + tolerancePa), right - left, y(u, level - tolerancePa) - y(u, level + tolerancePa));
        c.beginPath();
        c.moveTo(left, y(u, level));
        c.lineTo(right, y(u, level));
        c.stroke();
      }
      i = end;
    }
  });
}

/** Short words at a thin line: each kind has its own sign, not only its own place. */
function signOf(mark: Mark): string {
  const name = mark.text.split(": ").pop() ?? mark.text;
  switch (mark.kind) {
    case "restriction_fitted":
      return `◆ ${name}`;
    case "tripped":
      return "■ trip";
    case "paused":
      return "‖ paused";
    case "resumed":
      return "▶ on";
    case "station_unreachable":
      return "△ out of reach";
    case "too_windy":
      return "≈ too windy";
    default:
      return "";
  }
}

export function drawMarks(u: uPlot, scene: Scene): void {
  clipped(u, (c) => {
    const ratio = devicePixelRatio;
    c.font = `${12 * ratio}px system-ui, sans-serif`;
    c.lineWidth = ratio;
    const rowEnds: number[] = [];
    for (const mark of scene.marks) {
      const text = signOf(mark);
      if (!text) continue;
      const at = x(u, mark.t_s);
      c.setLineDash([2 * ratio, 3 * ratio]);
      c.strokeStyle = scene.colours.soft;
      c.beginPath();
      c.moveTo(at, u.bbox.top);
      c.lineTo(at, u.bbox.top + u.bbox.height);
      c.stroke();
      const width = c.measureText(text).width;
      const left = Math.min(at + 3 * ratio, u.bbox.left + u.bbox.width - width - 2 * ratio);
      let row = 0;
      while ((rowEnds[row] ?? -1) > left) row++;
      rowEnds[row] = left + width + 4 * ratio;
      const baseline = u.bbox.top + (13 + 15 * row) * ratio;
      c.fillStyle = scene.colours.paper;
      c.fillRect(left - ratio, baseline - 11 * ratio, width + 2 * ratio, 14 * ratio);
      c.fillStyle = scene.colours.ink;
      c.fillText(text, left, baseline);
    }
    drawNow(u, c, scene);
  });
}

function drawNow(u: uPlot, c: CanvasRenderingContext2D, scene: Scene): void {
  const { columns, colours } = scene;
  const last = columns.high.length - 1;
  const pa = columns.high[last];
  if (!scene.isRunning || last < 0 || pa === null || pa === undefined) return;
  c.setLineDash([]);
  c.fillStyle = colours.ink;
  c.strokeStyle = colours.paper;
  c.lineWidth = 2 * devicePixelRatio;
  c.beginPath();
  c.arc(x(u, columns.t[last] ?? 0), y(u, ((columns.low[last] ?? pa) + pa) / 2), 5 * devicePixelRatio, 0, 2 * Math.PI);
  c.fill();
  c.stroke();
}
