/** Joins daemon and store: session, live messages, the record of the course, and the signals that they give. */

import { get, post, Refused, remove, wordsOf } from "./http";
import { Live } from "./live";
import { applied } from "./live_state";
import { signOf } from "./plan_steps";
import { startsIn } from "./sentence";
import { Sound, type Cue } from "./sound";
import { accepted, motionOf, watched } from "./stop_state";
import { Store } from "./store";
import type { LiveMessage, Procedure, Result, Session, Status, Trace } from "./types";

const refreshAfterMs = 120;
const retryMs = 2000;
const recordedAfterMs = 2500;
const rollingLimit = 72000;
/** The daemon's own window for the unrest, the least that says anything, and what a fan takes to arrive. */
const unrestWindowS = 10;
const leastWindowS = 3;
const travelS = 6;

/** Events that are drawn into the picture. */
const marked = new Set(["station_unreachable", "restriction_fitted", "restriction_mismatch", "tripped", "trip_cleared", "paused", "resumed", "too_windy", "sensor_lost", "sensor_back"]);

export class App {
  readonly store = new Store();
  readonly sound = new Sound();
  private readonly live = new Live({
    message: (message) => this.receive(message),
    opened: () => this.opened(),
    lost: () => this.lost(),
  });
  private refreshTimer = 0;
  private traceRun: string | null = null;
  private traceTimer = 0;
  private resultOf: string | null = null;
  private wanted = "";
  private wantedSinceS = 0;

  async start(): Promise<void> {
    const token = new URLSearchParams(location.hash.slice(1)).get("token");
    if (token) {
      // Neither the history nor a bookmark shall keep it.
      history.replaceState(null, "", location.pathname);
      await this.pair(token);
      return;
    }
    await this.enter();
  }

  /** @returns what the daemon says against the token, null when it is taken */
  async pair(token: string): Promise<string | null> {
    try {
      await post("/v1/session", { token });
    } catch (error) {
      this.store.set({ needsToken: true });
      return wordsOf(error);
    }
    await this.enter();
    return null;
  }

  async leave(): Promise<void> {
    this.live.stop();
    await remove("/v1/session").catch(() => undefined);
    this.store.set({ session: null, needsToken: true, status: null });
  }

  async refreshSession(): Promise<void> {
    const session = await get<Session>("/v1/session");
    this.store.set({ session, needsToken: false });
  }

  private async enter(): Promise<void> {
    try {
      await this.refreshSession();
      this.live.start();
    } catch (error) {
      if (error instanceof Refused && error.status === 401) this.store.set({ needsToken: true });
      else window.setTimeout(() => void this.enter(), retryMs);
    }
  }

  sendLive(message: unknown): boolean {
    return this.live.sendText(message);
  }

  refreshSoon(): void {
    clearTimeout(this.refreshTimer);
    this.refreshTimer = window.setTimeout(() => void this.refresh(), refreshAfterMs);
  }

  private async refresh(): Promise<void> {
    try {
      this.takeStatus(await get<Status>("/v1/status"));
    } catch {
      // The live connection says when it is lost; the next event asks again.
    }
  }

  private opened(): void {
    this.store.set({ contact: { ok: true, sinceMs: Date.now() } });
    this.traceRun = null;
    void this.refreshSession().catch(() => undefined);
  }

  private lost(): void {
    const before = this.store.state.contact;
    if (before.ok) {
      this.store.set({ contact: { ok: false, sinceMs: Date.now() } });
      this.cue("lost");
    }
    // A daemon that was started anew may not know the session any more.
    void this.refreshSession().catch((error: unknown) => {
      if (!(error instanceof Refused && error.status === 401)) return;
      this.live.stop();
      this.store.set({ needsToken: true });
    });
  }

  private receive(message: LiveMessage): void {
    const { state, trace } = this.store;
    const effects = applied(state.status, message);
    if (effects.gap) this.traceRun = null;
    if (message.event === "sample" && effects.status) this.addSample(effects.status);
    this.markEvent(message);
    if (effects.status && effects.status !== state.status) this.takeStatus(effects.status);
    if (message.event === "stopped" && message.data.accepted === true) this.store.set({ stop: accepted(this.store.state.stop) });
    if (effects.stale) this.refreshSoon();
    if (trace.length > rollingLimit && trace.runId === null) trace.reset(null, null);
  }

  private addSample(status: Status): void {
    const { trace } = this.store;
    const isOver = status.run_id !== null && status.run_state !== "running";
    if (isOver || trace.runId !== status.run_id) return;
    const target = status.target_pa === null ? null : status.target_pa * signOf(status.direction ?? "depressurize");
    trace.add(status.engine_time_s, status.induced_pressure_pa ?? status.building_pressure_pa, target);
  }

  private markEvent({ event, data }: LiveMessage): void {
    const { trace } = this.store;
    const at = Number(data.engine_time_s);
    const kind = String(data.kind ?? "");
    if (event === "phase") trace.phase(at, String(data.phase));
    else if (marked.has(kind)) trace.mark(at, kind, String(data.text));
  }

  /** While the fan is on its way the readings move by its own doing: that is no unrest. */
  private withTrueUnrest(status: Status): Status {
    const wanted = `${status.phase}|${status.target_pa}|${status.fans.map((fan) => fan.enabled).join()}`;
    if (wanted !== this.wanted || status.engine_time_s < this.wantedSinceS) {
      this.wanted = wanted;
      this.wantedSinceS = status.engine_time_s;
    }
    const settledS = status.engine_time_s - this.wantedSinceS - travelS;
    if (settledS > unrestWindowS) return status;
    const own = settledS < leastWindowS ? null : this.store.trace.unrest(settledS);
    return { ...status, unrest_pa: own };
  }

  private takeStatus(given: Status): void {
    const status = this.withTrueUnrest(given);
    const before = this.store.state.status;
    const state = this.store.state;
    const stop = watched(state.stop, motionOf(status.fans), Date.now());
    this.store.set({ status, stop, tripRead: status.trip ? state.tripRead : false });
    this.signal(before, status);
    if (this.store.trace.runId !== status.run_id) this.store.trace.reset(status.run_id, null);
    if (this.traceRun !== status.run_id) void this.loadTrace(status.run_id);
    if (status.plan && status.plan.procedure !== state.procedure?.id) void this.loadProcedure(status.plan.procedure);
    const isOver = status.run_state !== null && status.run_state !== "running";
    if (!isOver && state.result) this.store.set({ result: null });
    if (isOver && this.resultOf !== status.run_id) void this.loadResult(status.run_id);
  }

  private signal(before: Status | null, now: Status): void {
    if (now.trip && !before?.trip) return this.cue("trip");
    const known = new Set(before?.asks.map((ask) => ask.id));
    if (now.asks.some((ask) => !known.has(ask.id))) return this.cue("ask");
    const seconds = startsIn(now);
    const secondsBefore = before ? startsIn(before) : 0;
    if (seconds > 0 && seconds !== secondsBefore) this.cue("tick");
    if (seconds === 0 && secondsBefore > 0 && now.fans.some((fan) => fan.enabled)) this.cue("start");
  }

  cue(cue: Cue): void {
    if (this.store.state.settings.sound) this.sound.play(cue);
  }

  private async loadTrace(runId: string | null, isSecond = false): Promise<void> {
    this.traceRun = runId;
    if (runId === null) return;
    try {
      const trace = await get<Trace>(`/v1/runs/${encodeURIComponent(runId)}/trace?points=2400`);
      if (this.store.trace.runId !== runId) return;
      this.store.trace.take(trace);
      this.store.set({});
      // The record is written once a second: what lay between its end and the first live reading comes after that.
      clearTimeout(this.traceTimer);
      if (!isSecond) this.traceTimer = window.setTimeout(() => void this.loadTrace(runId, true), recordedAfterMs);
    } catch (error) {
      // A recording that has only just begun has no course yet: what comes live is all there is.
      if (!(error instanceof Refused)) this.traceRun = null;
    }
  }

  private async loadProcedure(id: string): Promise<void> {
    const procedure = await get<Procedure>(`/v1/procedures/${encodeURIComponent(id)}`).catch(() => null);
    if (procedure) this.store.set({ procedure });
  }

  private async loadResult(runId: string | null): Promise<void> {
    this.resultOf = runId;
    if (runId === null) return;
    const result = await get<Result>(`/v1/runs/${encodeURIComponent(runId)}/result`).catch(() => null);
    if (result) this.store.set({ result });
  }
}
