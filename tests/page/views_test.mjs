// The views that a run does not pass: the way in, settings, trips, stop, and what a reader without commands sees.
import assert from "node:assert/strict";
import { test } from "node:test";
import { assertAccessible, assertHandy, openBrowser, openPage, phone, shoot } from "./support/browser.mjs";
import { fillStart, goTo, startRun } from "./support/crew.mjs";
import { startDaemon } from "./support/daemon.mjs";

async function withPage(options, use) {
  const daemon = await startDaemon({ speed: 1, ...options });
  const browser = await openBrowser();
  try {
    await use({ daemon, browser, ...(await openPage(browser, daemon.url, phone, { token: daemon.token, ...options })) });
  } finally {
    await browser.close();
    await daemon.stop();
  }
}

async function holdByHand(page) {
  await page.locator("summary").filter({ hasText: "By hand" }).tap();
  await page.getByRole("button", { name: "Take the zero-flow pressure" }).tap();
  await page.locator("h1").filter({ hasText: "Measuring the zero-flow" }).waitFor();
  await page.getByRole("button", { name: "Hold" }).tap();
}

test("without a token there is an entry field, and a wrong one is refused in words", () =>
  withPage({ token: null, allowed: [/401/] }, async ({ page, daemon, complaints }) => {
    await page.locator("#token").fill("a-token-of-somebody-else");
    await page.locator("button[type=submit]").tap();
    await page.locator(".complaint").filter({ hasText: /./ }).waitFor();
    await shoot(page, "views-token");
    await assertAccessible(page, "token");
    await assertHandy(page, "token");
    await page.locator("#token").fill(daemon.token);
    await page.locator("button[type=submit]").tap();
    await page.locator(".fact").first().waitFor();
    assert.deepEqual(complaints, []);
  }));

test("every view is accessible and fits a thumb", () =>
  withPage({}, async ({ page, complaints }) => {
    for (const view of ["now", "start", "runs", "settings"]) {
      await goTo(page, view);
      await page.locator(`nav a[href="#${view}"][aria-current]`).waitFor();
      if (view === "start") await page.locator(".explained p").first().waitFor();
      if (view === "now") await page.locator("summary").filter({ hasText: "By hand" }).tap();
      await shoot(page, `views-${view}`, { fullPage: true });
      await assertAccessible(page, view);
      await assertHandy(page, view);
    }
    assert.deepEqual(complaints, []);
  }));

test("what was chosen and typed is there again after a reload", () =>
  withPage({}, async ({ page }) => {
    await fillStart(page, "single-point");
    await goTo(page, "settings");
    await page.locator("#theme-dark").check();
    await page.reload();
    await page.locator("#theme-dark:checked").waitFor();
    assert.equal(await page.evaluate(() => document.documentElement.dataset.theme), "dark");
    await goTo(page, "start");
    await page.locator(".explained p").first().waitFor();
    assert.equal(await page.locator("#procedure").inputValue(), "single-point");
    assert.equal(await page.locator('[id="field-building.volume_m3"]').inputValue(), "400");
  }));

test("one touch stops the fan and the page says that it is at rest", () =>
  withPage({ speed: 10 }, async ({ page, daemon }) => {
    await holdByHand(page);
    await page.locator("h1").filter({ hasText: "Holding" }).waitFor();
    await page.locator(".stop-said").filter({ hasText: "driven" }).waitFor();
    await page.locator("#stop").tap();
    await page.locator(".stop-said").filter({ hasText: "The fan is at rest." }).waitFor();
    await shoot(page, "views-stopped");
    const status = await daemon.get("/v1/status");
    assert.equal(status.fans[0].enabled, false);
    assert.equal(status.fans[0].demand_frac, 0);
  }));

test("a trip fills the width with its cause and is cleared in two steps", () =>
  withPage({ speed: 5, virtual: true, allowed: [/409/] }, async ({ page, complaints }) => {
    // The virtual rig's cover stays on unless somebody takes it off, and a covered fan moves nothing.
    await holdByHand(page);
    await page.locator(".trip-place h2").waitFor();
    await page.waitForFunction(() => document.querySelector(".trip-place h2").getBoundingClientRect().top >= 0);
    await shoot(page, "views-trip");
    await assertAccessible(page, "trip");
    await assertHandy(page, "trip");
    assert.equal(await page.getByRole("button", { name: "Clear the trip" }).count(), 0);
    await page.getByRole("button", { name: "I have read it" }).tap();
    await page.getByRole("button", { name: "Clear the trip" }).tap();
    await page.locator(".trip-place h2").waitFor({ state: "detached" });
    assert.deepEqual(complaints, []);
  }));

test("the whole page is less than 200 kB on the wire", () =>
  withPage({ token: null, allowed: [/401/] }, async ({ browser, daemon }) => {
    const context = await browser.newContext();
    const page = await context.newPage();
    let bytes = 0;
    page.on("requestfinished", async (request) => {
      const sizes = await request.sizes();
      bytes += sizes.responseBodySize + sizes.responseHeadersSize;
    });
    await page.goto(`${daemon.url}/#token=${daemon.token}`);
    await page.locator(".fact .value").first().filter({ hasText: /./ }).waitFor();
    await page.waitForLoadState("networkidle").catch(() => undefined);
    assert.ok(bytes > 20_000 && bytes < 200_000, `${bytes} bytes`);
  }));

test("a reload in mid-run restores the run, its picture and the open ask", () =>
  withPage({ speed: 10 }, async ({ page, daemon }) => {
    await fillStart(page, "single-point");
    await startRun(page);
    const items = (await daemon.get("/v1/asks")).asks.filter((ask) => ask.kind === "checklist");
    for (const ask of items) await daemon.post(`/v1/asks/${ask.id}`, { answer: "done" });
    await page.locator(".ask h2").filter({ hasText: "Cover the fan" }).waitFor();
    const asked = await page.locator(".ask h2").innerText();
    await page.reload();
    await page.locator(".ask h2").filter({ hasText: asked }).waitFor();
    await page.locator(".staircase canvas").waitFor();
  }));

test("who may only look sees no commands and is told how it is stopped", () =>
  withPage({ token: null, allowed: [/401/] }, async ({ browser, daemon }) => {
    const { page } = await openPage(browser, daemon.url, phone, { token: daemon.viewerToken });
    assert.equal(await page.locator("#stop").isVisible(), false);
    await page.locator(".stop-said").filter({ hasText: "hand switch" }).waitFor();
    assert.equal(await page.getByRole("link", { name: "Start a run" }).count(), 0);
    await shoot(page, "views-viewer");
    await assertAccessible(page, "viewer");
    await goTo(page, "start");
    await page.locator("main").filter({ hasText: "an operator starts runs" }).waitFor();
  }));
