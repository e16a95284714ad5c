// The modules that decide what is shown, without a browser.
import assert from "node:assert/strict";
import { describe, test } from "node:test";
import { pureBundle } from "./support/places.mjs";

const page = await import(pureBundle);
const nb = "\u00a0";

const fan = { name: "fan", demand_frac: 0, enabled: false, signal_pa: 0, flow_m3_s: null, restriction: "bore-290", covered: false };
const driven = { ...fan, enabled: true, demand_frac: 0.4, signal_pa: 40 };
const status = {
  phase: "hold", sentence: "", building_pressure_pa: -52, induced_pressure_pa: -50.2, target_pa: 50, fans: [driven], device: "ok",
  engine_time_s: 100, unrest_pa: 0.3, phase_left_s: 40, run_left_s: null, countdown_s: null, run_id: "run-1", run_state: "running",
  zero_flow_pa: -1.8, direction: "depressurize", paused: false, asks: [], trip: null, rig: "demo", recorder: "recording", plan: null,
};

describe("sentence", () => {
  test("says pressure, side, steadiness and time in one line", () => {
    assert.equal(page.sentenceOf(status).main, `Holding 50.2${nb}Pa below outdoors, steady, 40${nb}s to go`);
  });
  test("says above where the pressure is above outdoors", () => {
    assert.match(page.sentenceOf({ ...status, induced_pressure_pa: 12 }).main, /12\.0.Pa above outdoors/);
  });
  test("counts down before the fan starts", () => {
    assert.equal(page.sentenceOf({ ...status, countdown_s: 3.2 }).main, `The fan starts in 4${nb}s`);
  });
  test("does not count down while hands are at the fan", () => {
    const asked = { ...status, phase: "uncover", countdown_s: 5, fans: [fan], asks: [{ id: "1", kind: "uncover_fan", text: "", answers: ["done"] }] };
    assert.equal(page.startsIn(asked), 0);
    assert.equal(page.sentenceOf(asked).main, "Waiting for you, the fan is off");
  });
  test("does not call an unknown pressure by a number", () => {
    assert.match(page.sentenceOf({ ...status, induced_pressure_pa: null }).main, /an unknown pressure/);
  });
  test("shows the daemon's own words for a phase that it does not know", () => {
    assert.equal(page.sentenceOf({ ...status, phase: "later", sentence: "Something new" }).main, "Something new");
  });
});

describe("presence", () => {
  const here = { interval_s: 600, left_s: 500, state: "here" };
  test("passes a touch on only where the fan runs and the last sign is some time ago", () => {
    assert.equal(page.touchCounts(here), true);
    assert.equal(page.touchCounts({ ...here, left_s: 597 }), false);
    assert.equal(page.touchCounts({ ...here, left_s: null }), false);
    assert.equal(page.touchCounts(null), false);
    assert.equal(page.touchCounts(undefined), false);
  });
  test("counts the first interval too where the pressure has gone down", () => {
    assert.equal(page.silentS({ ...here, state: "lowered", left_s: 590 }), 610);
    assert.equal(page.touchCounts({ ...here, state: "lowered", left_s: 600 }), true);
    assert.equal(page.silentS({ ...here, state: "back", left_s: 590 }), 10);
  });
  test("says what comes next, and when", () => {
    assert.equal(page.presenceWords(here).isUrgent, false);
    assert.match(page.presenceWords({ ...here, state: "due", left_s: 100 }).meaning, /within 100.s, or the pressure goes down/);
    assert.match(page.presenceWords({ ...here, state: "lowered" }).meaning, /In 8 min 20 s the fan goes off/);
    assert.match(page.presenceWords({ ...here, state: "back" }).meaning, /stays low until you go on/);
  });
  test("asks for one in tests of many stations, not of one", () => {
    assert.equal(page.usualPresenceS(7), 600);
    assert.equal(page.usualPresenceS(1), 0);
  });
  test("is said before a mere pause", () => {
    const low = { ...status, phase: "stations", paused: true, target_pa: 10, presence: { ...here, state: "lowered" } };
    assert.match(page.sentenceOf(low).main, /^No sign of life came: down to 10.Pa below outdoors/);
    assert.match(page.sentenceOf({ ...low, presence: here }).main, /^Paused/);
  });
});

describe("windWarning", () => {
  const procedure = { checks: [{ kind: "baseline_mean", high: 3 }] };
  test("is silent while the wind is small against the station", () => {
    assert.equal(page.windWarning(status, procedure), null);
  });
  test("speaks when the unrest is more than a tenth of the station", () => {
    assert.match(page.windWarning({ ...status, target_pa: 10, unrest_pa: 1.2 }, procedure), /little margin/);
  });
  test("speaks when the zero-flow pressure is beyond the procedure's limit", () => {
    assert.match(page.windWarning({ ...status, zero_flow_pa: -4 }, procedure), /above the procedure's limit of 3.Pa/);
  });
});

describe("stop", () => {
  test("is confirmed only by the fan itself, after the daemon took it", () => {
    let stop = page.touched(0);
    stop = page.watched(stop, "at_rest", 10);
    assert.equal(stop.step, "sent");
    stop = page.watched(page.accepted(stop), "running_down", 20);
    assert.equal(stop.step, "off");
    assert.equal(page.watched(stop, "at_rest", 30).step, "at_rest");
  });
  test("says so when no confirmation comes within 3 s", () => {
    const stop = page.watched(page.accepted(page.touched(0)), "driven", 3100);
    assert.match(page.stopText(stop, "driven"), /has not confirmed.*hand switch/);
  });
  test("names the hand switch when nothing gets through", () => {
    assert.match(page.stopText(page.failed(page.touched(0)), null), /hand switch/);
  });
  test("is over when the fan is driven anew", () => {
    assert.equal(page.watched({ step: "at_rest", sinceMs: 0 }, "driven", 9000).step, "idle");
  });
  test("takes a fan with demand 0 that is still enabled for driven", () => {
    assert.equal(page.motionOf([{ ...fan, enabled: true }]), "driven");
  });
});

describe("TraceStore", () => {
  const trace = { run_id: "run-1", t0_engine_s: 100, t_s: [0, 1, 2], induced_min_pa: [-1, -10, -11], induced_max_pa: [-1, -9, -10], target_pa: [null, 10, 10], phases: [], marks: [] };
  test("keeps what came later than the daemon's record, and nothing twice", () => {
    const store = new page.TraceStore();
    store.reset("run-1", null);
    for (const t of [101.5, 102, 102.5, 103]) store.add(t, -10, -10);
    store.take(trace);
    store.add(103, -10, -10);
    store.add(103.5, -10, -10);
    assert.deepEqual([...store.t.subarray(0, store.length)], [0, 1, 2, 2.5, 3, 3.5]);
  });
  test("lays the target on the side of the pressure", () => {
    const store = new page.TraceStore();
    store.take(trace);
    assert.deepEqual([...store.target.subarray(0, 3)], [NaN, -10, -10]);
  });
  test("says how restless the last seconds were, and nothing of too few readings", () => {
    const store = new page.TraceStore();
    for (let i = 0; i < 100; i++) store.add(i / 10, i < 50 ? 0 : i % 2, 50);
    assert.equal(store.unrest(4), 0.5);
    assert.equal(store.unrest(0.5), null);
  });
  test("grows past an hour of ten readings a second", () => {
    const store = new page.TraceStore();
    for (let i = 0; i < 36_000; i++) store.add(i / 10, Math.sin(i), 50);
    assert.equal(store.length, 36_000);
    assert.equal(store.end(), 3599.9);
  });
});

describe("columnsOf", () => {
  const filled = (count) => {
    const store = new page.TraceStore();
    for (let i = 0; i < count; i++) store.add(i / 10, i === 777 ? -99 : -50, -50);
    return store;
  };
  test("loses no gust, however few the columns are", () => {
    const columns = page.columnsOf(filled(36_000), 0, 3600, 300, -1);
    assert.equal(Math.max(...columns.high), 99);
    assert.ok(columns.t.length <= 301);
    assert.equal(columns.gaps, 0);
  });
  test("breaks the line where readings are missing", () => {
    const store = filled(100);
    store.add(40, -50, -50);
    const columns = page.columnsOf(store, 0, 41, 100, 1);
    assert.equal(columns.gaps, 1);
    assert.ok(columns.low.includes(null));
  });
  test("makes columns of an hour in less than a frame", () => {
    const store = filled(36_000);
    const times = Array.from({ length: 20 }, () => {
      const begin = performance.now();
      page.columnsOf(store, 0, 3600, 700, -1);
      page.hazeOf(store, 0, 3600, 60, -1);
      return performance.now() - begin;
    });
    console.log(`columns and haze of an hour: ${times.sort((a, b) => a - b)[10].toFixed(2)} ms`);
  });
});

describe("stepsToCome", () => {
  const procedure = { id: "p", baseline_s: 30, baseline_after: true, look_round_min_s: 10, climb_rate_pa_s: 1, station_settle_s: 5, station_average_s: 10, checks: [] };
  const station = (n, direction, state) => ({ station: n, direction, target_pa: 60 - 10 * n, state, induced_pa: null, flow_m3_s: null, flow_u_frac: null });
  const plan = { procedure: "p", directions: ["depressurize", "pressurize"], look_round_pa: 10, tolerance_pa: 1, stations: [station(1, "depressurize", "done"), station(2, "depressurize", "running"), station(1, "pressurize", "planned"), station(2, "pressurize", "planned")] };
  test("ends when the daemon expects the run to end", () => {
    const steps = page.stepsToCome({ ...status, phase: "stations", run_left_s: 300, plan }, procedure, 100);
    assert.equal(Math.round(steps.at(-1).toS), 400);
  });
  test("leaves out what is done and goes on to the other side", () => {
    const steps = page.stepsToCome({ ...status, phase: "stations", run_left_s: 300, plan }, procedure, 100);
    assert.deepEqual(steps.map((s) => s.targetPa), [-40, 0, 0, 10, 50, 40, 0]);
  });
  test("is empty once the run is over", () => {
    assert.deepEqual(page.stepsToCome({ ...status, run_state: "done", plan }, procedure, 100), []);
  });
});

describe("applied", () => {
  const sample = { id: 2, event: "sample", data: { phase: "climb", induced_pressure_pa: -3, strange: 1 } };
  test("takes readings into the status and nothing that it does not know", () => {
    const { status: next, stale } = page.applied(status, sample);
    assert.equal(next.induced_pressure_pa, -3);
    assert.equal(next.strange, undefined);
    assert.equal(stale, false);
  });
  test("asks for everything anew after a gap", () => {
    assert.deepEqual(page.applied(status, { id: 3, event: "gap", data: { dropped: 3 } }), { status, stale: true, gap: true });
  });
  test("takes an answered ask away at once", () => {
    const asked = { ...status, asks: [{ id: "7" }] };
    assert.deepEqual(page.applied(asked, { id: 3, event: "ask", data: { id: "7", state: "answered" } }).status.asks, []);
  });
});

describe("units", () => {
  // 1 cfm = 1.699 m3/h, 1 in2 = 6.4516 cm2, exactly from the foot of 0.3048 m.
  test("are those of the reports", () => {
    const flow = page.unitOf("flow", "ip");
    assert.equal(page.shown(1.69901082, flow).toFixed(6), "1.000000");
    assert.equal(page.shown(20, page.unitOf("temperature", "ip")), 68);
    assert.equal(page.stored(68, page.unitOf("temperature", "ip")), 20);
    assert.equal(page.shown(6.4516, page.unitOf("leak_area", "ip")).toFixed(6), "1.000000");
    assert.equal(page.shown(3.6, page.unitOf("flow", "si")).toFixed(6), "1.000000");
  });
});

describe("figuresOf", () => {
  test("gives value and interval the same decimals and leaves out what is not known", () => {
    const figures = page.figuresOf({ q50_m3_h: 1330.49, q50_m3_h_low: 1318.9, q50_m3_h_high: 1342.1, n50_per_h: null }, "metric");
    assert.deepEqual(figures.map((f) => [f.name, f.value, f.range, f.unit]), [["q50", "1330", "1319 to 1342", "m³/h"]]);
  });
});
