/** The picture of the run: planned steps, what was wanted, what came of it, and what happened on the way. */

import uPlot from "uplot";
import { columnsOf, hazeOf, type Columns, type Haze } from "./columns";
import { palette } from "./palette";
import { drawHaze, drawMarks, drawPhases, drawSteps, drawWanted, type Scene } from "./staircase_paint";
import { signOf, stepsToCome, type Step } from "./plan_steps";
import type { State, Store } from "./store";
import type { TraceStore } from "./trace_store";
import { h, setText } from "./dom";
import { duration, targetPascals } from "./figures";

const rollingS = 120;
const hazeWindowS = 10;

export interface View {
  from: number;
  to: number;
  low: number;
  high: number;
  /** -1 draws pressures below outdoors upwards; 1 as they are, where a run has both directions. */
  up: 1 | -1;
  isBoth: boolean;
}

function directionSign(state: State): 1 | -1 {
  const direction = state.status?.plan?.directions[0] ?? state.status?.direction ?? state.result?.stations[0]?.direction;
  return direction ? signOf(direction) : -1;
}

export function viewOf(state: State, trace: TraceStore, steps: Step[]): View {
  const now = trace.end();
  const isRun = trace.runId !== null;
  const last = steps[steps.length - 1]?.toS ?? now;
  const from = isRun ? 0 : Math.max(0, now - rollingS);
  const to = Math.max(from + 30, last, isRun && steps.length === 0 ? now : now + 2);
  const isBoth = (state.status?.plan?.directions.length ?? 1) > 1 || bothSides(trace);
  const up = isBoth ? 1 : directionSign(state);
  let low = -4;
  let high = 12;
  for (const step of steps) {
    low = Math.min(low, up * step.targetPa * 1.12);
    high = Math.max(high, up * step.targetPa * 1.12);
  }
  for (let i = 0; i < trace.length; i++) {
    const a = up * (trace.low[i] ?? 0);
    const b = up * (trace.high[i] ?? 0);
    low = Math.min(low, a * 1.05 || 0, b * 1.05 || 0);
    high = Math.max(high, a * 1.08 || 0, b * 1.08 || 0);
  }
  // Room for the words of the marks above and of the phases below.
  if (trace.marks.length > 0) high *= 1.2;
  if (!isBoth) low = Math.min(low, -0.13 * high);
  return { from, to, low, high, up, isBoth };
}

/** A run that has ended has no plan any more, but its course shows that it went both ways. */
function bothSides(trace: TraceStore): boolean {
  let below = false;
  let above = false;
  for (let i = 0; i < trace.length; i++) {
    const target = trace.target[i] ?? NaN;
    if (target < -3) below = true;
    if (target > 3) above = true;
  }
  return below && above;
}

export class Staircase {
  readonly element = h("figure", { class: "picture staircase" });
  private readonly canvasBox = h("div", { class: "canvas", role: "img", "aria-label": "The course of the pressure" });
  private readonly caption = h("figcaption", {});
  private plot: uPlot | null = null;
  private scene: Scene | null = null;
  private drawnAt = 0;
  private seenVersion = -1;
  private seenKey = "";
  private spokenAt = 0;
  private isOutdated = false;

  constructor(private readonly store: Store) {
    this.element.append(this.canvasBox, this.caption);
    new ResizeObserver(() => this.resize()).observe(this.canvasBox);
  }

  /** At most ten times a second, and only when something is new. */
  draw(nowMs: number): void {
    const { trace, state } = this.store;
    const key = `${state.settings.theme}|${state.status?.phase}|${state.status?.run_id}|${Math.round(state.status?.run_left_s ?? 0)}`;
    if (nowMs - this.drawnAt < 100 || (trace.version === this.seenVersion && key === this.seenKey)) return;
    if (this.canvasBox.clientWidth === 0) return;
    const begin = performance.now();
    this.drawnAt = nowMs;
    this.seenVersion = trace.version;
    this.seenKey = key;
    const steps = stepsToCome(state.status!, state.procedure, trace.end());
    const view = viewOf(state, trace, steps);
    const width = this.plot ? this.plot.bbox.width / devicePixelRatio : this.canvasBox.clientWidth;
    const columns = columnsOf(trace, view.from, view.to, Math.max(50, Math.round(width)), view.up);
    const haze = hazeOf(trace, view.from, view.to, Math.max(hazeWindowS, (view.to - view.from) / 60), view.up);
    this.scene = this.sceneOf(view, steps, columns, haze);
    this.show(view, columns);
    this.element.dataset.gaps = String(columns.gaps);
    this.element.dataset.readings = String(trace.length);
    this.describe(view, nowMs);
    this.element.dataset.drawMs = (performance.now() - begin).toFixed(1);
  }

  /** The look has changed: the next frame draws anew, and until then the old picture stands. */
  redraw(): void {
    this.seenVersion = -1;
    this.drawnAt = 0;
    this.isOutdated = true;
  }

  private sceneOf(view: View, steps: Step[], columns: Columns, haze: Haze): Scene {
    const { state, trace } = this.store;
    const plan = state.status?.plan;
    return {
      view,
      steps,
      columns,
      haze,
      unrestPa: state.status?.unrest_pa ?? state.status?.zero_flow_unrest_pa ?? 0,
      tolerancePa: plan?.tolerance_pa ?? state.procedure?.station_tolerance_pa ?? 1,
      marks: trace.marks,
      phases: trace.phases,
      nowS: trace.end(),
      isRunning: state.status?.run_state === "running",
      colours: palette(),
    };
  }

  private show(view: View, columns: Columns): void {
    if (this.isOutdated) {
      this.plot?.destroy();
      this.plot = null;
      this.isOutdated = false;
    }
    const plot = this.plot ?? this.create();
    const data = [columns.t, columns.low, columns.high] as unknown as uPlot.AlignedData;
    plot.batch(() => {
      plot.setData(data, false);
      plot.setScale("x", { min: view.from, max: view.to });
      plot.setScale("y", { min: view.low, max: view.high });
    });
  }

  private create(): uPlot {
    const colours = palette();
    const font = "13px system-ui, sans-serif";
    const axis = { stroke: colours.soft, font, grid: { stroke: colours.line, width: 1 }, ticks: { stroke: colours.line, size: 4 } };
    const line = { stroke: colours.trace, width: 1.6, points: { show: false } };
    const options: uPlot.Options = {
      width: this.canvasBox.clientWidth,
      height: this.canvasBox.clientHeight,
      legend: { show: false },
      cursor: { show: false },
      scales: { x: { time: false, auto: false }, y: { auto: false } },
      axes: [
        { ...axis, size: 26, space: 60, incrs: [5, 10, 30, 60, 120, 300, 600, 1200, 1800, 3600], values: (_, ticks) => ticks.map((s) => (s < 0 ? "" : minutes(s))) },
        { ...axis, size: 34, space: 32 },
      ],
      series: [{}, line, line],
      bands: [{ series: [2, 1], fill: colours.trace }],
      hooks: {
        drawClear: [(u) => this.paintBelow(u)],
        draw: [(u) => this.scene && drawMarks(u, this.scene)],
      },
    };
    this.plot = new uPlot(options, [[], [], []], this.canvasBox);
    return this.plot;
  }

  private paintBelow(u: uPlot): void {
    if (!this.scene) return;
    drawPhases(u, this.scene);
    drawHaze(u, this.scene);
    drawSteps(u, this.scene);
    drawWanted(u, this.scene);
  }

  private resize(): void {
    this.plot?.setSize({ width: this.canvasBox.clientWidth, height: this.canvasBox.clientHeight });
    this.seenVersion = -1;
  }

  private describe(view: View, nowMs: number): void {
    const side = view.isBoth ? "Pa above (+) and below (−) outdoors" : `Pa ${view.up < 0 ? "below" : "above"} outdoors`;
    const scene = this.scene;
    const hasPlan = Boolean(scene?.steps.length);
    setText(this.caption, `${side}, over minutes. Line: measured. Haze: the wind's unrest.${hasPlan ? " Dashed: the steps to come." : ""}`);
    if (nowMs - this.spokenAt < 5000) return;
    this.spokenAt = nowMs;
    const peak = targetPascals(Math.max(Math.abs(view.low), view.high));
    this.canvasBox.setAttribute("aria-label", `The course of the pressure over ${duration(this.store.trace.end())}, scale up to ${peak}, ${scene?.steps.length ?? 0} steps to come`);
  }
}

function minutes(s: number): string {
  const whole = Math.round(s);
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
}
