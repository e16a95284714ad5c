// How soon the page can be used after it was opened, and what it takes over the wire.
//   LEEWARD_BINARY=build/release/leeward node tests/page/opening_bench.mjs
import { openBrowser, openPage, phone } from "./support/browser.mjs";
import { startDaemon } from "./support/daemon.mjs";

const openings = 20;
const daemon = await startDaemon({ speed: 1 });
const browser = await openBrowser();
try {
  const times = [];
  let bytes = 0;
  for (let i = 0; i < openings; ++i) {
    const begin = performance.now();
    // Paired by its link, live, its first figure shown: whatever may be touched can be.
    const { page, context } = await openPage(browser, daemon.url, phone, { token: daemon.token });
    times.push(performance.now() - begin);
    bytes = await page.evaluate(() =>
      [performance.getEntriesByType("navigation")[0], ...performance.getEntriesByType("resource")].reduce((sum, entry) => sum + entry.transferSize, 0),
    );
    await context.close();
  }
  times.sort((a, b) => a - b);
  const ms = (share) => times[Math.floor(share * (openings - 1))].toFixed(0);
  console.log(`opened ${openings} times, empty cache: usable after ${ms(0.5)} ms (median), ${ms(1)} ms at most; ${(bytes / 1000).toFixed(0)} kB over the wire`);
} finally {
  await browser.close();
  await daemon.stop();
}
