// A run that was stopped among its stations goes on by one touch on its page.
import assert from "node:assert/strict";
import { test } from "node:test";
import { assertAccessible, openBrowser, openPage, phone, shoot } from "./support/browser.mjs";
import { fillStart, goTo, startRun } from "./support/crew.mjs";
import { startDaemon } from "./support/daemon.mjs";

const answerAll = (daemon) => (status) => Promise.all(status.asks.map((ask) => daemon.post(`/v1/asks/${ask.id}`, { answer: "done" })));
const done = (status) => (status.plan?.stations ?? []).filter((station) => station.state === "done").length;

test("a stopped run is gone on with, its stations kept", async () => {
  const daemon = await startDaemon({ speed: 20 });
  const browser = await openBrowser();
  try {
    const { page } = await openPage(browser, daemon.url, phone, { token: daemon.token });
    await fillStart(page, "steps-60-10");
    await startRun(page);
    const cut = await daemon.until((status) => done(status) >= 2, answerAll(daemon));
    await daemon.post("/v1/stop", {});
    await daemon.until((status) => status.phase === "idle", answerAll(daemon));

    await goTo(page, "runs");
    await page.locator(`a[href="#runs/${cut.run_id}"]`).tap();
    const goOn = page.getByRole("button", { name: "Go on with this run" });
    await goOn.waitFor();
    await assertAccessible(page, "a stopped run");
    await shoot(page, "resume-offered");
    await goOn.tap();
    const again = await daemon.until((status) => status.run_state === "running", () => undefined);
    assert.notEqual(again.run_id, cut.run_id);
    assert.ok(done(again) >= 2, "kept stations are done in the plan");
    assert.equal(again.phase, "prepare");
  } finally {
    await browser.close();
    await daemon.stop();
  }
});
