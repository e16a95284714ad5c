/** Many readings in few columns: of each, the lowest and the highest, so that no gust is lost to the eye. */

import type { TraceStore } from "./trace_store";

export interface Columns {
  /** How often readings were missing for long enough to be seen. */
  gaps: number;
  t: number[];
  low: (number | null)[];
  high: (number | null)[];
  target: (number | null)[];
}

/** First index whose time is not before t. */
export function firstAt(trace: TraceStore, t: number): number {
  let from = 0;
  let to = trace.length;
  while (from < to) {
    const middle = (from + to) >> 1;
    if ((trace.t[middle] ?? 0) < t) from = middle + 1;
    else to = middle;
  }
  return from;
}

/** Readings come ten times a second, and the daemon's own record in some thousand columns. */
const gapS = 2;

/** Where readings are missing the line breaks, so that nobody sees what was not measured. */
function breakAtGap(out: Columns, trace: TraceStore, i: number, width: number): void {
  const before = i > 0 ? (trace.t[i - 1] ?? 0) : (trace.t[i] ?? 0);
  const t = trace.t[i] ?? 0;
  if (t - before < Math.max(gapS, 3 * width)) return;
  out.gaps++;
  out.t.push((before + t) / 2);
  out.low.push(null);
  out.high.push(null);
  out.target.push(null);
}

/**
 * @param count columns over the whole span from..to
 * @param up 1 or -1: the readings are multiplied by it
 */
export function columnsOf(trace: TraceStore, from: number, to: number, count: number, up: 1 | -1): Columns {
  const out: Columns = { gaps: 0, t: [], low: [], high: [], target: [] };
  const width = (to - from) / Math.max(1, count);
  if (!(width > 0)) return out;
  const end = firstAt(trace, to + 1e-9);
  for (let i = firstAt(trace, from); i < end; ) {
    const column = Math.floor(((trace.t[i] ?? 0) - from) / width);
    const first = trace.t[i] ?? 0;
    let last = first;
    let low = Infinity;
    let high = -Infinity;
    let target = NaN;
    breakAtGap(out, trace, i, width);
    for (; i < end && Math.floor(((trace.t[i] ?? 0) - from) / width) === column; i++) {
      last = trace.t[i] ?? 0;
      const a = up * (trace.low[i] ?? NaN);
      const b = up * (trace.high[i] ?? NaN);
      if (!Number.isNaN(a)) {
        low = Math.min(low, a, b);
        high = Math.max(high, a, b);
      }
      target = up * (trace.target[i] ?? NaN);
    }
    out.t.push((first + last) / 2);
    out.low.push(low === Infinity ? null : low);
    out.high.push(high === -Infinity ? null : high);
    out.target.push(Number.isNaN(target) ? null : target);
  }
  return out;
}

export interface Haze {
  t: number[];
  low: number[];
  high: number[];
}

/** The wind's unrest: mean and twice the standard deviation in windows of a few seconds. */
export function hazeOf(trace: TraceStore, from: number, to: number, windowS: number, up: 1 | -1): Haze {
  const out: Haze = { t: [], low: [], high: [] };
  const means: number[] = [];
  const sds: number[] = [];
  const end = firstAt(trace, to + 1e-9);
  for (let i = firstAt(trace, from); i < end; ) {
    const start = trace.t[i] ?? 0;
    let n = 0;
    let sum = 0;
    let squares = 0;
    for (; i < end && (trace.t[i] ?? 0) < start + windowS; i++)
      for (const value of [trace.low[i] ?? NaN, trace.high[i] ?? NaN]) {
        if (Number.isNaN(value)) continue;
        n++;
        sum += value;
        squares += value * value;
      }
    if (n < 2) continue;
    const mean = sum / n;
    out.t.push(start + windowS / 2);
    means.push(up * mean);
    sds.push(Math.sqrt(Math.max(0, squares / n - mean * mean)));
  }
  // A step of the fan is no unrest of the wind: what is far beyond the usual counts as the usual.
  const usual = [...sds].sort((a, b) => a - b)[sds.length >> 1] ?? 0;
  means.forEach((mean, i) => {
    const sd = Math.min(sds[i] ?? 0, 2 * usual);
    out.low.push(mean - 2 * sd);
    out.high.push(mean + 2 * sd);
  });
  return out;
}
