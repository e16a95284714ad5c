/** The frame around the views: navigation above, stop below, alarms before everything. */

import type { App } from "./app";
import type { Commands } from "./commands";
import { ContactBanner } from "./contact_banner";
import { h, replace } from "./dom";
import { NowView } from "./now_view";
import type { Part } from "./part";
import { PresencePart } from "./presence_part";
import { RunsView } from "./runs_view";
import { SettingsView } from "./settings_view";
import { StartView } from "./start_view";
import { StopBar } from "./stop_bar";
import { TokenView } from "./token_view";
import { TripAlarm } from "./trip_alarm";

/** Figures that change faster can't be read. */
const textEveryMs = 200;

const places = [
  ["now", "Now"],
  ["start", "Start"],
  ["runs", "Runs"],
  ["settings", "Settings"],
] as const;

export class Shell {
  readonly element = h("div", { class: "shell" });
  private readonly links = places.map(([id, name]) => h("a", { href: `#${id}` }, name));
  private readonly nav = h("nav", { "aria-label": "Views" }, ...this.links);
  private readonly place = h("div", { class: "place" });
  private readonly now: NowView;
  private readonly start: StartView;
  private readonly runs: RunsView;
  private readonly settings: SettingsView;
  private readonly token: TokenView;
  private readonly trip: TripAlarm;
  private readonly presence: PresencePart;
  private readonly contact = new ContactBanner();
  private readonly stop: StopBar;
  private shown: Part | null = null;
  private isDirty = true;
  private drawnAt = 0;
  private theme = "";

  constructor(
    private readonly app: App,
    private readonly commands: Commands,
  ) {
    this.now = new NowView(app, commands);
    this.start = new StartView(app);
    this.runs = new RunsView(app);
    this.settings = new SettingsView(app, commands);
    this.token = new TokenView(app);
    this.trip = new TripAlarm(app, commands);
    this.presence = new PresencePart(app, commands);
    this.stop = new StopBar(commands);
    const skip = h("a", { class: "skip", href: "#stop", click: (event) => this.toStop(event) }, "To the stop button");
    this.element.append(skip, this.contact.element, this.trip.element, this.nav, this.presence.element, this.place, this.stop.element);
    app.store.onChange(() => (this.isDirty = true));
    window.addEventListener("hashchange", () => this.open());
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => this.now.staircase.redraw());
  }

  run(): void {
    // Before anything is seen: a page that opens bright and then turns dark blinds whoever works in the dark.
    this.applyTheme(this.app.store.state.settings.theme);
    this.open();
    const frame = (ms: number) => {
      this.draw(ms);
      requestAnimationFrame(frame);
    };
    requestAnimationFrame(frame);
    // A hidden page gets no frames, and a lost contact counts its seconds.
    setInterval(() => {
      this.commands.watchStop();
      this.isDirty = true;
    }, 500);
  }

  private draw(ms: number): void {
    if (this.isDirty && ms - this.drawnAt >= textEveryMs) {
      this.drawnAt = ms;
      this.isDirty = false;
      this.update();
    }
    if (this.shown === this.now && this.app.store.state.status) this.now.staircase.draw(ms);
  }

  private update(): void {
    const { state } = this.app.store;
    this.applyTheme(state.settings.theme);
    const needsToken = state.needsToken === true;
    if (needsToken !== (this.shown === this.token)) this.open();
    this.nav.hidden = needsToken;
    this.stop.element.hidden = needsToken;
    for (const part of [this.contact, this.trip, this.presence, this.stop]) part.update(state);
    this.shown?.update(state);
  }

  private applyTheme(theme: string): void {
    if (theme === this.theme) return;
    this.theme = theme;
    document.documentElement.dataset.theme = theme;
    this.now.staircase.redraw();
  }

  private open(): void {
    const [id = "now", argument] = location.hash.slice(1).split("/");
    const index = Math.max(0, places.findIndex(([place]) => place === id));
    const name = places[index]![0];
    const part = this.app.store.state.needsToken === true ? this.token : this[name];
    this.links.forEach((link, i) => {
      if (i === index) link.setAttribute("aria-current", "page");
      else link.removeAttribute("aria-current");
    });
    const isNew = part !== this.shown;
    this.shown = part;
    this.app.store.set({ complaint: null });
    replace(this.place, part.element);
    document.title = `${places[index]![1]} · Leeward`;
    if (isNew) window.scrollTo(0, 0);
    if (part === this.start) void this.start.opened();
    if (part === this.runs) void this.runs.opened(argument ?? null);
    if (part === this.settings) void this.settings.opened();
    part.update(this.app.store.state);
  }

  private toStop(event: Event): void {
    // The fragment belongs to the views.
    event.preventDefault();
    document.getElementById("stop")?.focus();
  }
}
