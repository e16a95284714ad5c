/** Many readings in few columns: of each, the lowest and the highest, so that no gust is lost to the eye. */

import type { TraceStore } from "./trace_store";

export interface Columns {
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

/**
 * @param count columns over the whole span from..to
 * @param up 1 or -1: the readings are multiplied by it
 */
export function columnsOf(trace: TraceStore, from: number, to: number, count: number, up: 1 | -1): Columns {
  const out: Columns = { t: [], low: [], high: [], target: [] };
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
    const sd = Math.sqrt(Math.max(0, squares / n - mean * mean));
    out.t.push(start + windowS / 2);
    out.low.push(up * mean - 2 * sd);
    out.high.push(up * mean + 2 * sd);
  }
  return out;
}
