// An hour of ten readings a second is drawn whole; how smoothly is told, not judged, since that is the machine's part.
import assert from "node:assert/strict";
import { test } from "node:test";
import { openBrowser, openPage, phone } from "./support/browser.mjs";
import { startDaemon } from "./support/daemon.mjs";

const readings = 36_000;

/** The course of an hour, as the daemon would give it. */
function hourOf(trace) {
  const t = Array.from({ length: readings }, (_, i) => i / 10);
  const value = t.map((s) => -50 + Math.sin(s) + (Math.floor(s) % 97 === 0 ? 5 : 0));
  return { ...trace, t_s: t, induced_min_pa: value, induced_max_pa: value, target_pa: t.map(() => 50) };
}

test("an hour of readings is in the picture", async (context) => {
  const daemon = await startDaemon({ speed: 1 });
  const browser = await openBrowser();
  try {
    const { page } = await openPage(browser, daemon.url, phone, { token: daemon.token });
    await page.route("**/trace?*", async (route) => route.fulfill({ json: hourOf(await (await route.fetch()).json()) }));
    await daemon.post("/v1/baseline", { duration_s: 600 });
    await page.locator(`.staircase[data-readings]`).waitFor();
    await page.waitForFunction((n) => Number(document.querySelector(".staircase").dataset.readings) >= n, readings);
    // Long tasks are what a person feels as stutter; the browser itself names those above 50 ms.
    const frames = await page.evaluate(
      () =>
        new Promise((done) => {
          const gaps = [];
          let last = performance.now();
          const frame = (now) => {
            gaps.push(now - last);
            last = now;
            if (gaps.length < 300) requestAnimationFrame(frame);
            else done(gaps.sort((a, b) => a - b));
          };
          requestAnimationFrame(frame);
        }),
    );
    const at = (share) => frames[Math.floor(share * (frames.length - 1))].toFixed(1);
    const draw = await page.locator(".staircase").getAttribute("data-draw-ms");
    context.diagnostic(`frames with an hour on screen: median ${at(0.5)} ms, 99th percentile ${at(0.99)} ms; one drawing ${draw} ms`);
    assert.ok(Number(draw) > 0, "the picture was drawn");
  } finally {
    await browser.close();
    await daemon.stop();
  }
});
