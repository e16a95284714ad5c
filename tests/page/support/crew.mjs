// A crew that works from the page alone: it sees what a person sees and touches what a person touches.
import { assertAccessible, assertHandy, shoot } from "./browser.mjs";

export const house = {
  "building.name": "Demo house, invented",
  "building.volume_m3": "400",
  "building.envelope_area_m2": "380",
  "building.floor_area_m2": "160",
  "building.height_m": "5.4",
  "conditions.indoor_c": "21",
  "conditions.outdoor_c": "4",
  "conditions.altitude_m": "250",
  "conditions.wind_m_s": "3",
};

export async function goTo(page, view) {
  await page.locator(`nav a[href="#${view}"]`).tap();
}

export async function fillStart(page, procedure) {
  await goTo(page, "start");
  await page.locator("#procedure").selectOption(procedure);
  await page.locator(".explained p").first().waitFor();
  for (const [key, value] of Object.entries(house)) await page.locator(`[id="field-${key}"]`).fill(value);
}

export async function startRun(page) {
  await page.locator("button[type=submit]").tap();
  await page.locator(".ready button").tap();
  await page.locator(".ask").waitFor();
}

/** What stands on the page just now; read at one moment, since the next may show something else. */
function sight(page) {
  return page.evaluate(() => {
    const text = (selector) => document.querySelector(selector)?.textContent ?? "";
    const main = text("h1");
    const kind = document.querySelector(".ask")?.className.replace("ask ", "ask-") ?? "";
    const word = main.split(/[ ,]/)[0].toLowerCase();
    let what = word;
    if (main.startsWith("Measuring the zero-flow")) what = main.includes("again") ? "closing-baseline" : "baseline";
    if (kind) what = kind;
    if (document.querySelector(".countdown")) what = "countdown";
    return { what, word, main, ask: text(".ask h2"), isOver: document.querySelector(".outcome a") !== null };
  });
}

/** Answers all that is asked until the result stands there. @returns everything that was seen on the way */
export async function seeRunThrough(page, name) {
  const seen = [];
  const said = new Set();  // below a question, which stands over what goes on
  for (;;) {
    const now = await sight(page);
    if (!seen.includes(now.what)) {
      seen.push(now.what);
      await shoot(page, `${name}-${String(seen.length).padStart(2, "0")}-${now.what}`);
      await assertAccessible(page, now.what);
      await assertHandy(page, now.what);
    }
    said.add(now.word);
    if (now.ask) {
      const card = page.locator(".ask").filter({ hasText: now.ask });
      // Another finger may have been quicker, and then there is another question.
      await card.locator(".button.primary").tap({ timeout: 3000 }).catch(() => undefined);
    } else if (now.isOver) {
      return [...new Set([...seen, ...said])];
    }
    await page.waitForFunction(
      ({ main, ask, isOver }) => {
        const text = (selector) => document.querySelector(selector)?.textContent ?? "";
        return text("h1") !== main || text(".ask h2") !== ask || (document.querySelector(".outcome a") !== null) !== isOver;
      },
      now,
    );
  }
}
