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

const headline = (page) => page.locator("h1").innerText();

/** What stands on the page just now, as one word. */
async function sight(page) {
  if (await page.locator(".countdown").isVisible()) return "countdown";
  const ask = page.locator(".ask");
  if (await ask.isVisible()) {
    const kind = (await ask.getAttribute("class").catch(() => "")) ?? "";
    return kind.replace("ask ", "ask-");
  }
  const words = await headline(page);
  if (words.startsWith("Measuring the zero-flow pressure again")) return "closing-baseline";
  if (words.startsWith("Measuring the zero-flow")) return "baseline";
  return words.split(/[ ,]/)[0].toLowerCase();
}

/** Answers all that is asked until the result stands there. @returns everything that was seen on the way */
export async function seeRunThrough(page, name, { checks = true } = {}) {
  const seen = [];
  for (;;) {
    const what = await sight(page);
    if (!seen.includes(what)) {
      seen.push(what);
      if (checks) {
        await shoot(page, `${name}-${String(seen.length).padStart(2, "0")}-${what}`);
        await assertAccessible(page, what);
        await assertHandy(page, what);
      }
    }
    const answer = page.locator(".ask .button.primary");
    if (what.startsWith("ask-")) await answer.tap({ timeout: 5000 }).catch(() => undefined);
    else if (await page.locator(".outcome a").isVisible()) return seen;
    // What a person waits for: that the page says something else.
    await page.waitForFunction(
      ([kind, text]) => {
        const ask = document.querySelector(".ask h2")?.textContent ?? "";
        return document.querySelector("h1")?.textContent !== text || ask !== kind || document.querySelector(".outcome a") !== null;
      },
      [(await page.locator(".ask h2").allInnerTexts())[0] ?? "", await headline(page)],
    );
  }
}
