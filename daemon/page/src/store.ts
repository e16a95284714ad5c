/** What the page knows, in one place; views are told when it changes. */

import { noStop, type StopState } from "./stop_state";
import { TraceStore } from "./trace_store";
import type { Procedure, Result, Session, Status } from "./types";
import type { Units } from "./units";

export type Theme = "auto" | "light" | "dark";

export interface Settings {
  units: Units;
  theme: Theme;
  sound: boolean;
}

export interface Contact {
  ok: boolean;
  /** When the last word came, by this device's clock. */
  sinceMs: number;
}

export interface State {
  session: Session | null;
  /** Null until it is known whether a session is needed. */
  needsToken: boolean | null;
  status: Status | null;
  contact: Contact;
  settings: Settings;
  stop: StopState;
  /** The procedure of the run in hand. */
  procedure: Procedure | null;
  /** Of the run that ended last, while it is shown under Now. */
  result: Result | null;
  /** What went wrong with the last command, in words. */
  complaint: string | null;
  tripRead: boolean;
}

const settingsKey = "leeward.settings";

function loadSettings(): Settings {
  const fallback: Settings = { units: "metric", theme: "auto", sound: true };
  try {
    return { ...fallback, ...(JSON.parse(localStorage.getItem(settingsKey) ?? "{}") as Partial<Settings>) };
  } catch {
    return fallback;
  }
}

type Listener = (state: State) => void;

export class Store {
  readonly trace = new TraceStore();
  state: State = {
    session: null,
    needsToken: null,
    status: null,
    contact: { ok: false, sinceMs: Date.now() },
    settings: loadSettings(),
    stop: noStop,
    procedure: null,
    result: null,
    complaint: null,
    tripRead: false,
  };
  private listeners: Listener[] = [];
  private due = false;

  onChange(listener: Listener): void {
    this.listeners.push(listener);
  }

  set(part: Partial<State>): void {
    this.state = { ...this.state, ...part };
    if (this.due) return;
    this.due = true;
    // Many messages in one turn make one drawing.
    queueMicrotask(() => {
      this.due = false;
      for (const listener of this.listeners) listener(this.state);
    });
  }

  saveSettings(part: Partial<Settings>): void {
    const settings = { ...this.state.settings, ...part };
    try {
      localStorage.setItem(settingsKey, JSON.stringify(settings));
    } catch {
      // A browser that keeps nothing still shows everything.
    }
    this.set({ settings });
  }
}
