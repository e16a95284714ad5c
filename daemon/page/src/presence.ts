/** The sign of life that a run may ask for: what is said about it, and when a touch is passed on. Pure. */

import { countdown } from "./figures";
import type { Presence } from "./types";

/** A touch sooner after the last sign says nothing new. */
const newsAfterS = 5;

export interface PresenceWords {
  isUrgent: boolean;
  button: string;
  meaning: string;
}

/** Only while the fan runs is there something to wait for. */
export function isCounting(presence: Presence | null | undefined): presence is Presence & { left_s: number } {
  return presence !== null && presence !== undefined && presence.left_s !== null;
}

export function isLow(presence: Presence | null | undefined): boolean {
  return presence?.state === "lowered" || presence?.state === "back";
}

export function silentS(presence: Presence & { left_s: number }): number {
  const allowed = presence.state === "lowered" ? 2 * presence.interval_s : presence.interval_s;
  return allowed - presence.left_s;
}

/** Whether a touch on the page is worth a word to the daemon. */
export function touchCounts(presence: Presence | null | undefined): boolean {
  return isCounting(presence) && silentS(presence) >= newsAfterS;
}

export function presenceWords(presence: Presence & { left_s: number }): PresenceWords {
  const left = countdown(presence.left_s);
  switch (presence.state) {
    case "lowered":
      return { isUrgent: true, button: "Still here", meaning: `No sign of life came, so the pressure went down. In ${left} the fan goes off.` };
    case "back":
      return { isUrgent: false, button: "Still here", meaning: `The pressure stays low until you go on. Touch again within ${left}, or the fan goes off.` };
    case "due":
      return { isUrgent: true, button: "Still here", meaning: `Touch within ${left}, or the pressure goes down.` };
    default:
      return { isUrgent: false, button: "Still here", meaning: `Any touch counts. Next within ${left}.` };
  }
}

/** What the page asks for where nobody chose: a test of many stations is long, one of a single station is not. */
export function usualPresenceS(stations: number): number {
  return stations > 1 ? 600 : 0;
}
