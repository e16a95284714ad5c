/** crypto.randomUUID is missing where a phone reaches the daemon by plain http. */
export function randomKey(): string {
  return [...crypto.getRandomValues(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}
