// Still here: what the page shows and passes on of the sign of life that a run may ask for.
import assert from "node:assert/strict";
import { test } from "node:test";
import { assertAccessible, assertHandy, openBrowser, openPage, phone, shoot } from "./support/browser.mjs";
import { fillStart, goTo } from "./support/crew.mjs";
import { startDaemon } from "./support/daemon.mjs";

// One in three: four seconds for a finger to come in time.
const speed = 3;
const run = {
  procedure: "steps-60-10", direction: "depressurize", presence_s: 60,
  building: { volume_m3: 400 }, conditions: { indoor_c: 21, outdoor_c: 4 },
};

async function withPage(use, isViewer = false) {
  const daemon = await startDaemon({ speed });
  const browser = await openBrowser();
  try {
    const { page, complaints } = await openPage(browser, daemon.url, phone, { token: isViewer ? daemon.viewerToken : daemon.token });
    const answer = async ({ asks }) => {
      for (const ask of asks) await daemon.post(`/v1/asks/${ask.id}`, { answer: "done" });
    };
    const reach = (state) => daemon.until((status) => status.presence?.state === state, answer);
    await use({ daemon, page, reach });
    assert.deepEqual(complaints, []);
  } finally {
    await browser.close();
    await daemon.stop();
  }
}

test("a long test asks for a sign of life unless it is told not to, a single point does not", () =>
  withPage(async ({ page, daemon }) => {
    await fillStart(page, "steps-60-10");
    await page.locator("#presence").filter({ hasText: "Every 10 min" }).waitFor();
    await page.waitForFunction(() => document.querySelector("#presence").value === "600");
    await assertAccessible(page, "start");
    await page.locator("#procedure").selectOption("single-point");
    await page.waitForFunction(() => document.querySelector("#presence").value === "0");
    await page.locator("#presence").selectOption("300");
    await page.locator("button[type=submit]").tap();
    await page.locator(".ready button").tap();
    await page.locator(".ask").waitFor();
    assert.equal((await daemon.get("/v1/status")).presence.interval_s, 300);
  }));

test("the button stands out in time, any touch counts, and only a word brings the pressure up again", () =>
  withPage(async ({ page, daemon, reach }) => {
    await daemon.post("/v1/runs", run);
    await reach("due");
    const button = page.locator(".presence.urgent button");
    await button.filter({ hasText: "or the pressure goes down" }).waitFor();
    await shoot(page, "presence-due");
    await assertAccessible(page, "due");
    await assertHandy(page, "due");
    await page.locator("h1").tap();
    await page.locator(".presence:not(.urgent)").waitFor();
    assert.equal((await daemon.get("/v1/status")).presence.state, "here");

    await reach("lowered");
    await button.filter({ hasText: "the fan goes off" }).waitFor();
    await page.locator("h1").filter({ hasText: "No sign of life came" }).waitFor();
    await shoot(page, "presence-lowered");
    await assertAccessible(page, "lowered");
    await goTo(page, "settings");
    await page.locator(".presence").filter({ hasText: "stays low until you go on" }).waitFor();
    assert.equal((await daemon.get("/v1/status")).presence.state, "back");
    await goTo(page, "now");
    await page.getByRole("button", { name: "All is well, go on" }).tap();
    await page.locator(".presence").filter({ hasText: "Any touch counts" }).waitFor();
    assert.equal((await daemon.get("/v1/status")).paused, false);
  }));

test("who only looks on is told, and gives no sign", () =>
  withPage(async ({ daemon, page, reach }) => {
    await daemon.post("/v1/runs", run);
    await reach("due");
    await page.locator(".presence p").filter({ hasText: "An operator has to do it" }).waitFor();
    assert.equal(await page.locator(".presence button").isVisible(), false);
    await page.locator("h1").tap();
    await reach("lowered");
  }, true));
