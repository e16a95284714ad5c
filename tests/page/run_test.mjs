// A whole run from the page alone, by touch: on a phone, then on a wide screen.
import assert from "node:assert/strict";
import { test } from "node:test";
import { assertAccessible, assertHandy, openBrowser, openPage, phone, shoot, wide } from "./support/browser.mjs";
import { fillStart, goTo, seeRunThrough, startRun } from "./support/crew.mjs";
import { startDaemon } from "./support/daemon.mjs";

const phases = ["ask-checklist", "ask-cover_fan", "baseline", "ask-uncover_fan", "countdown", "look-round", "ask-look_round", "climbing", "ask-fit_restriction", "measuring", "closing-baseline"];

async function wholeRun(viewport, name) {
  const daemon = await startDaemon({ speed: 12 });
  const browser = await openBrowser();
  try {
    const { page, complaints } = await openPage(browser, daemon.url, viewport, { token: daemon.token, allowed: [/422/] });
    assert.equal(new URL(page.url()).hash, "", "the token is wiped from the address");
    await shoot(page, `${name}-00-idle`);
    await fillStart(page, "steps-60-10");
    await page.locator('[id="field-conditions.indoor_c"]').fill("");
    await page.locator("button[type=submit]").tap();
    await page.locator('[id="problem-conditions.indoor_c"]').filter({ hasText: "Air indoors" }).waitFor();
    await shoot(page, `${name}-00-start-mistake`);
    await page.locator('[id="field-conditions.indoor_c"]').fill("21");
    await startRun(page);

    const seen = await seeRunThrough(page, name);
    for (const phase of phases) assert.ok(seen.includes(phase), `${phase} was not seen, only ${seen.join(", ")}`);

    await shoot(page, `${name}-90-outcome`);
    await page.locator(".outcome a").tap();
    await page.locator(".verdict").first().waitFor();
    await shoot(page, `${name}-91-result`);
    await shoot(page, `${name}-92-result-whole`, { fullPage: true });
    await assertAccessible(page, "result");
    await assertHandy(page, "result");
    const shown = await page.locator(".headline").innerText();
    const { runs } = await daemon.get("/v1/runs");
    const result = await daemon.get(`/v1/runs/${runs[0].run_id}/result`);
    assert.equal(shown, `q50 ${result.q50_m3_h.toFixed(0)} m³/h`);

    const report = await page.request.get(`${daemon.url}/v1/runs/${runs[0].run_id}/report.pdf?units=metric`);
    assert.equal((await report.body()).subarray(0, 5).toString(), "%PDF-");
    const download = page.waitForEvent("download");
    await page.locator('a[href*="report.pdf"]').tap();
    assert.match((await download).suggestedFilename(), /^run-.*\.pdf$/);

    await goTo(page, "settings");
    await page.locator("#units-ip").check();
    await goTo(page, "runs");
    await page.locator(".row").first().tap();
    await page.locator(".headline").filter({ hasText: "cfm" }).waitFor();
    assert.deepEqual(complaints, []);
  } finally {
    await browser.close();
    await daemon.stop();
  }
}

test("a whole run by touch on a phone", () => wholeRun(phone, "phone"));
test("a whole run by touch on a wide screen", () => wholeRun(wide, "wide"));
