/** The log-log plot, filling in as stations are finished. */

import { curveSvg, type CurvePoint, type Line } from "./curve";
import { h, Keyed } from "./dom";
import { isRun } from "./plan_steps";
import type { Part } from "./part";
import type { State } from "./store";
import type { Status } from "./types";

function pointsOf(status: Status): CurvePoint[] {
  const done = status.plan?.stations.filter((s) => s.induced_pa !== null && s.flow_m3_s !== null) ?? [];
  return done.map((s) => ({ pa: Math.abs(s.induced_pa!), m3h: s.flow_m3_s! * 3600, isMarked: s.state === "unreachable" }));
}

function lineOf(status: Status): Line | null {
  const { c_m3_h_pan: c, n, q50_m3_h: q50 } = status.estimates ?? {};
  return c && n ? { cM3hPan: c.value, n: n.value, q50: q50 ?? null } : null;
}

export class CurvePart implements Part {
  readonly element = h("section", { class: "curve-place", "aria-label": "Flow over pressure" });
  private readonly keyed = new Keyed(this.element);

  update({ status, settings, result }: State): void {
    const points = status && isRun(status) && !result ? pointsOf(status) : [];
    const total = status?.plan?.stations.length ?? 0;
    // The line moves all the time; one that is anew with each station is enough.
    this.keyed.show([points, total, settings.units], () => {
      if (points.length === 0 || !status) return [];
      const words = `Flow over pressure, ${points.length} of ${total} stations measured`;
      return [h("figure", { class: "picture" }, curveSvg(points, lineOf(status), settings.units, words) as unknown as HTMLElement, h("figcaption", {}, `${words}. Line: the curve as learnt so far; bar: its 95 % interval at 50 Pa.`))];
    });
  }
}
