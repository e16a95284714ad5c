/** A trip: its cause over the whole width, and a clearing that can't happen in passing. */

import type { App } from "./app";
import type { Commands } from "./commands";
import { button, h, Keyed } from "./dom";
import { dayAndTime } from "./figures";
import type { Part } from "./part";
import type { State } from "./store";

const repeatMs = 5000;

export class TripAlarm implements Part {
  readonly element = h("section", { class: "trip-place", role: "alert", "aria-label": "Trip" });
  private readonly keyed = new Keyed(this.element);
  private soundedAt = 0;
  private shownAt: string | null = null;

  constructor(
    private readonly app: App,
    private readonly commands: Commands,
  ) {}

  update(state: State): void {
    const trip = state.status?.trip ?? null;
    const isViewer = state.session?.role === "viewer";
    this.keyed.show([trip?.cause, trip?.at, state.tripRead, isViewer], () => {
      if (!trip) return [];
      const [what, ...rest] = trip.text.split(". ");
      const read = button("I have read it", "primary", () => this.app.store.set({ tripRead: true }), "ends the alarm, clears nothing");
      const clear = button("Clear the trip", "halt", () => void this.commands.clearTrip(), "the cause is found and everyone is safe");
      return [
        h("p", { class: "kicker" }, `■ Trip, ${dayAndTime(trip.at)}`),
        h("h2", {}, `${what}.`),
        h("p", {}, rest.join(". ")),
        isViewer ? h("p", {}, "An operator has to clear it.") : h("div", { class: "answers" }, state.tripRead ? clear : read),
      ];
    });
    // It must not wait above the screen for somebody who has scrolled down.
    if (trip && trip.at !== this.shownAt) this.element.scrollIntoView();
    this.shownAt = trip?.at ?? null;
    this.repeat(trip !== null && !state.tripRead);
  }

  private repeat(isUnread: boolean): void {
    if (!isUnread || Date.now() - this.soundedAt < repeatMs) return;
    this.soundedAt = Date.now();
    this.app.cue("trip");
  }
}
