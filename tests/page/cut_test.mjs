// The network is cut for 30 s in mid-run: the page says so, catches up without a gap, and the run goes on.
import assert from "node:assert/strict";
import { test } from "node:test";
import { assertAccessible, openBrowser, openPage, phone, shoot } from "./support/browser.mjs";
import { fillStart, startRun } from "./support/crew.mjs";
import { startDaemon } from "./support/daemon.mjs";
import { layWire } from "./support/wire.mjs";

const cutSeconds = 30;

/** The crew's answers past the page, for what is not this test's matter. */
function answerUntil(daemon, phase) {
  return daemon.until(
    (status) => status.phase === phase,
    (status) => Promise.all(status.asks.map((ask) => daemon.post(`/v1/asks/${ask.id}`, { answer: "done" }))),
  );
}

test("a cut of 30 s in mid-run is said at once, made up for, and does not disturb the run", async () => {
  const daemon = await startDaemon({ speed: 2 });
  const wire = await layWire(daemon.port);
  const browser = await openBrowser();
  try {
    const { page } = await openPage(browser, wire.url, phone, { token: daemon.token });
    await fillStart(page, "steps-60-10");
    await startRun(page);
    await answerUntil(daemon, "stations");
    await page.locator("h1").filter({ hasText: "Measuring at" }).waitFor();

    wire.cut();
    const cutAt = Date.now();
    await page.locator(".no-contact").filter({ hasText: /No contact since \d\d:\d\d:\d\d/ }).waitFor({ timeout: 2000 });
    await page.locator("#stop").waitFor();
    await assertAccessible(page, "no contact");
    await page.locator(".no-contact").filter({ hasText: `${cutSeconds}\u00a0s` }).waitFor();
    await shoot(page, "cut-lost");
    assert.ok(Date.now() - cutAt >= (cutSeconds - 2) * 1000);

    wire.mend();
    await page.locator(".no-contact").waitFor({ state: "hidden" });
    await page.waitForFunction(() => document.documentElement.dataset.contact === "ok");
    await page.locator('.staircase[data-gaps="0"]').waitFor();
    await shoot(page, "cut-back");
    const status = await daemon.get("/v1/status");
    assert.equal(status.run_state, "running");
    assert.equal(status.trip, null);
  } finally {
    await browser.close();
    wire.close();
    await daemon.stop();
  }
});

test("stop while the daemon can't be reached names the hand switch", async () => {
  const daemon = await startDaemon({ speed: 1 });
  const wire = await layWire(daemon.port);
  const browser = await openBrowser();
  try {
    const { page } = await openPage(browser, wire.url, phone, { token: daemon.token });
    wire.cut();
    await page.locator(".no-contact").filter({ hasText: "No contact" }).waitFor();
    await page.locator("#stop").tap();
    await page.locator(".stop-said").filter({ hasText: "hand switch" }).waitFor();
    await shoot(page, "cut-stop");
    await assertAccessible(page, "stop without contact");
  } finally {
    await browser.close();
    wire.close();
    await daemon.stop();
  }
});
