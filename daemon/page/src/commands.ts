/** What the crew can tell the daemon. */

import type { App } from "./app";
import { post, wordsOf } from "./http";
import { touchCounts } from "./presence";
import { accepted, failed, motionOf, touched, watched } from "./stop_state";
import type { Direction } from "./types";

export interface HandHold {
  target_pa: number;
  direction: Direction;
  look_round_done: boolean;
  rate_pa_s?: number;
}

const touchEveryMs = 2000;

export class Commands {
  private touchedAt = 0;

  constructor(private readonly app: App) {}

  /** Both ways at once: whichever gets through first stops the fan. */
  stop(): void {
    const { store } = this.app;
    store.set({ stop: touched(Date.now()), complaint: null });
    const wasSent = this.app.sendLive({ type: "stop" });
    post("/v1/stop", {})
      .then(() => {
        store.set({ stop: accepted(store.state.stop) });
        this.app.refreshSoon();
      })
      .catch((error: unknown) => {
        if (!wasSent || !store.state.contact.ok) store.set({ stop: failed(store.state.stop) });
        store.set({ complaint: wordsOf(error) });
      });
  }

  /** To be called now and then: a confirmation that does not come has to be said as well. */
  watchStop(): void {
    const { store } = this.app;
    const { stop, status, contact } = store.state;
    const next = watched(stop, contact.ok && status ? motionOf(status.fans) : null, Date.now());
    if (next !== stop) store.set({ stop: next });
  }

  answer = (id: string, answer: string) => this.tell(`/v1/asks/${encodeURIComponent(id)}`, { answer });
  pause = () => this.tell("/v1/hold", {});
  goOn = () => this.tell("/v1/continue", {});
  stillHere = () => this.tell("/v1/presence", {});

  /** Any touch on the page is a sign of life, where one is asked for; it says nothing when it does not get through. */
  touched(): void {
    const { status, session } = this.app.store.state;
    if (session?.role !== "operator" || !touchCounts(status?.presence) || Date.now() - this.touchedAt < touchEveryMs) return;
    this.touchedAt = Date.now();
    post("/v1/presence", {}).catch(() => undefined);
  }

  clearTrip = () => this.tell("/v1/clear-trip", {});
  baseline = (durationS: number) => this.tell("/v1/baseline", { duration_s: durationS });
  hold = (hold: HandHold) => this.tell("/v1/hold", hold);
  climb = (hold: HandHold) => this.tell("/v1/climb", hold);

  async takeHelm(): Promise<void> {
    await this.tell("/v1/helm", {});
    await this.app.refreshSession().catch(() => undefined);
  }

  async giveHelm(to: string): Promise<void> {
    await this.tell("/v1/helm", { to });
    await this.app.refreshSession().catch(() => undefined);
  }

  private async tell(path: string, body: unknown): Promise<boolean> {
    const { store } = this.app;
    try {
      await post(path, body);
      store.set({ complaint: null });
      this.app.refreshSoon();
      return true;
    } catch (error) {
      store.set({ complaint: wordsOf(error) });
      this.app.refreshSoon();
      return false;
    }
  }
}
