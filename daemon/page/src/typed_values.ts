/** What was typed the last time, kept in this browser. */

const key = "leeward.start";

export function loadTyped(): Map<string, string> {
  try {
    return new Map(JSON.parse(localStorage.getItem(key) ?? "[]") as [string, string][]);
  } catch {
    return new Map();
  }
}

export function saveTyped(typed: Map<string, string>): void {
  try {
    localStorage.setItem(key, JSON.stringify([...typed]));
  } catch {
    // It has to be typed again the next time.
  }
}
