/** The course of the pressure, kept in typed arrays that grow: an hour at 10 Hz is 36 000 readings. */

import type { Mark, Trace } from "./types";

const startSize = 4096;

export class TraceStore {
  /** Seconds since the run's first sample. */
  t = new Float64Array(startSize);
  low = new Float32Array(startSize);
  high = new Float32Array(startSize);
  /** Signed like the pressure; NaN where none was wanted. */
  target = new Float32Array(startSize);
  length = 0;
  marks: Mark[] = [];
  phases: { phase: string; from_s: number }[] = [];
  runId: string | null = null;
  /** Engine time of t = 0; null before the first sample. */
  t0: number | null = null;
  /** Counts changes, so that a drawing knows whether it is out of date. */
  version = 0;

  reset(runId: string | null, t0: number | null): void {
    this.length = 0;
    this.marks = [];
    this.phases = [];
    this.runId = runId;
    this.t0 = t0;
    this.version++;
  }

  /** A sample as it comes; one that is not newer than the last is not taken twice. */
  add(engineTimeS: number, inducedPa: number | null, signedTargetPa: number | null): void {
    if (this.t0 === null) this.t0 = engineTimeS;
    const t = engineTimeS - this.t0;
    if (this.length > 0 && t <= (this.t[this.length - 1] ?? 0)) return;
    const value = inducedPa ?? NaN;
    this.push(t, value, value, signedTargetPa ?? NaN);
  }

  /** The daemon's own record replaces what is here up to its end; what came later stays. */
  take(trace: Trace): void {
    const keptFrom = trace.run_id === this.runId && this.t0 !== null ? this.t0 - trace.t0_engine_s : null;
    const end = trace.t_s[trace.t_s.length - 1] ?? -1;
    const later: [number, number, number, number][] = [];
    const isLater = keptFrom === null ? () => false : (t_s: number) => t_s + keptFrom > end;
    const laterMarks = this.marks.filter((mark) => isLater(mark.t_s)).map((mark) => ({ ...mark, t_s: mark.t_s + keptFrom! }));
    const laterPhases = this.phases.filter((phase) => isLater(phase.from_s)).map((phase) => ({ ...phase, from_s: phase.from_s + keptFrom! }));
    if (keptFrom !== null)
      for (let i = 0; i < this.length; i++) {
        const t = (this.t[i] ?? 0) + keptFrom;
        if (t > end) later.push([t, this.low[i] ?? NaN, this.high[i] ?? NaN, this.target[i] ?? NaN]);
      }
    this.reset(trace.run_id, trace.t0_engine_s);
    const targets = signedTargets(trace);
    trace.t_s.forEach((t, i) => this.push(t, trace.induced_min_pa[i] ?? NaN, trace.induced_max_pa[i] ?? NaN, targets[i] ?? NaN));
    for (const row of later) this.push(...row);
    this.marks = [...trace.marks, ...laterMarks];
    this.phases = [...trace.phases, ...laterPhases];
  }

  mark(engineTimeS: number, kind: string, text: string): void {
    if (this.t0 === null) return;
    this.marks.push({ t_s: engineTimeS - this.t0, kind, text });
    this.version++;
  }

  phase(engineTimeS: number, phase: string): void {
    if (this.t0 === null) return;
    this.phases.push({ phase, from_s: engineTimeS - this.t0 });
    this.version++;
  }

  /** Standard deviation of the readings of the last seconds; null with too few of them. */
  unrest(seconds: number): number | null {
    let n = 0;
    let sum = 0;
    let squares = 0;
    for (let i = this.length - 1; i >= 0 && (this.t[i] ?? 0) > this.end() - seconds; i--) {
      const value = this.low[i] ?? NaN;
      if (Number.isNaN(value)) continue;
      n++;
      sum += value;
      squares += value * value;
    }
    return n < 10 ? null : Math.sqrt(Math.max(0, squares / n - (sum / n) ** 2));
  }

  end(): number {
    return this.length > 0 ? (this.t[this.length - 1] ?? 0) : 0;
  }

  private push(t: number, low: number, high: number, target: number): void {
    if (this.length === this.t.length) this.grow();
    this.t[this.length] = t;
    this.low[this.length] = low;
    this.high[this.length] = high;
    this.target[this.length] = target;
    this.length++;
    this.version++;
  }

  private grow(): void {
    const size = this.t.length * 2;
    const t = new Float64Array(size);
    t.set(this.t);
    this.t = t;
    for (const key of ["low", "high", "target"] as const) {
      const wider = new Float32Array(size);
      wider.set(this[key]);
      this[key] = wider;
    }
  }
}

/** A target is a size; it lies on the side to which the pressure went while the fan was driven. */
function signedTargets(trace: Trace): number[] {
  const out: number[] = [];
  for (let from = 0; from < trace.t_s.length; ) {
    let to = from;
    let sum = 0;
    for (; to < trace.t_s.length && (trace.target_pa[to] ?? null) !== null; to++) sum += trace.induced_min_pa[to] ?? 0;
    for (let i = from; i < to; i++) out.push(Math.sign(sum || 1) * (trace.target_pa[i] ?? NaN));
    if (to === from) {
      out.push(NaN);
      to++;
    }
    from = to;
  }
  return out;
}
