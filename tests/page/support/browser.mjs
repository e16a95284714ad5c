// Debian's Chromium, with a finger.
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import assert from "node:assert/strict";
import { join } from "node:path";
import { chromium } from "playwright-core";
import { shotsFolder } from "./places.mjs";

export const phone = { width: 360, height: 740 };
export const wide = { width: 1280, height: 800 };

const axeSource = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

export async function openBrowser() {
  return chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: ["--no-sandbox"] });
}

/** @returns a page that was paired by its link; what it complains of ends the test */
export async function openPage(browser, url, viewport, { token = null, allowed = [] } = {}) {
  const isPhone = viewport.width < 600;
  const context = await browser.newContext({ viewport, hasTouch: true, isMobile: isPhone, deviceScaleFactor: isPhone ? 2 : 1, colorScheme: "light", reducedMotion: "reduce" });
  const page = await context.newPage();
  const complaints = [];
  page.on("pageerror", (error) => complaints.push(error.message));
  page.on("console", (message) => {
    const isExpected = allowed.some((pattern) => pattern.test(message.text()));
    if (message.type() === "error" && !isExpected) complaints.push(message.text());
  });
  page.setDefaultTimeout(60_000);
  await page.goto(token ? `${url}/#token=${token}` : url);
  if (token) await page.locator(".fact .value").first().filter({ hasText: /./ }).waitFor();
  return { page, context, complaints };
}

/** Taken in both looks; the viewport alone, as a person sees it. */
export async function shoot(page, name, options = {}) {
  for (const colorScheme of ["light", "dark"]) {
    await page.emulateMedia({ colorScheme });
    // The look changes in one frame, the picture follows in the next, and stands in the third.
    await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => requestAnimationFrame(done)))));
    await page.screenshot({ path: join(shotsFolder, `${name}-${colorScheme}.png`), ...options });
  }
  await page.emulateMedia({ colorScheme: "light" });
}

/** No violation of level A or AA, in both looks. */
export async function assertAccessible(page, name) {
  for (const colorScheme of ["light", "dark"]) {
    await page.emulateMedia({ colorScheme });
    await page.evaluate(axeSource);
    const found = await page.evaluate(() => globalThis.axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"] }));
    const said = found.violations.map((v) => `${v.id}: ${v.help}: ${v.nodes.map((n) => n.html).join(" | ")}`);
    assert.deepEqual(said, [], `${name}, ${colorScheme}`);
  }
  await page.emulateMedia({ colorScheme: "light" });
}

/** Everything that a finger is to hit is at least 48 px high, and nothing is wider than the screen. */
export async function assertHandy(page, name) {
  const small = await page.evaluate(() =>
    [...document.querySelectorAll("button, nav a, .button, .row, summary, select, input:not([type=radio]):not([type=checkbox])")]
      .filter((e) => e.checkVisibility() && e.getBoundingClientRect().height < 48)
      .map((e) => e.outerHTML.slice(0, 80)),
  );
  assert.deepEqual(small, [], `${name}: too small for a thumb`);
  const overflow = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  assert.ok(overflow <= 0, `${name}: ${overflow} px wider than the screen`);
}
