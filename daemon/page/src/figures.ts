/** Numbers as people read them. */

export function fixed(value: number, decimals: number): string {
  const text = value.toFixed(decimals);
  return /^-0(\.0*)?$/.test(text) ? text.slice(1) : text;
}

/** Three figures that count, never in powers of ten. */
export function threeFigures(value: number): string {
  if (!Number.isFinite(value)) return "not known";
  const size = Math.abs(value);
  if (size < 1e-9) return "0";
  return fixed(value, Math.min(6, Math.max(0, 2 - Math.floor(Math.log10(size)))));
}

export function pascals(pa: number): string {
  return `${fixed(pa, 1)}\u00a0Pa`;
}

/** Targets are whole numbers more often than not. */
export function targetPascals(pa: number): string {
  return `${fixed(pa, Math.abs(pa - Math.round(pa)) < 0.05 ? 0 : 1)}\u00a0Pa`;
}

export function percent(frac: number): string {
  return `${fixed(frac * 100, 0)}\u00a0%`;
}

const minuteFrom = 120;

export function duration(s: number): string {
  if (s < minuteFrom) return `${Math.max(0, Math.round(s))}\u00a0s`;
  const minutes = Math.round(s / 60);
  if (minutes < 120) return `${minutes}\u00a0min`;
  return `${Math.floor(minutes / 60)} h ${minutes % 60} min`;
}

/** Whole seconds are said exactly where somebody waits for them. */
export function countdown(s: number): string {
  const whole = Math.max(0, Math.round(s));
  return whole < minuteFrom ? `${whole}\u00a0s` : `${Math.floor(whole / 60)} min ${whole % 60} s`;
}

/** @param signedPa indoor minus outdoor */
export function side(signedPa: number): string {
  if (Math.abs(signedPa) < 0.05) return "level with outdoors";
  return `${pascals(Math.abs(signedPa))} ${signedPa < 0 ? "below" : "above"} outdoors`;
}

export function clock(date: Date): string {
  const two = (n: number) => String(n).padStart(2, "0");
  return `${two(date.getHours())}:${two(date.getMinutes())}:${two(date.getSeconds())}`;
}

export function dayAndTime(iso: string): string {
  const date = new Date(iso);
  if (Number.isNaN(date.getTime())) return iso;
  const two = (n: number) => String(n).padStart(2, "0");
  return `${date.getFullYear()}-${two(date.getMonth() + 1)}-${two(date.getDate())} ${two(date.getHours())}:${two(date.getMinutes())}`;
}

/** Keeps a figure and its unit on one line in a text that comes from the daemon. */
export function tight(text: string): string {
  return text.replace(/(\d) (?=(?:%|Pa|s|min|m3\/h|cfm)(?![a-z]))/g, "$1\u00a0");
}
