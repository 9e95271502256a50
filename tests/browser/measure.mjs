// Size of the page and time to first paint: node measure.mjs PROGRAM PLAN.json FOLDER COPIES…
import { execFileSync } from "node:child_process";
import { mkdirSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { resolve } from "node:path";
import { launch, open } from "./browser.mjs";
import { larger } from "./larger.mjs";

const [, , program, planFile, folder, ...copies] = process.argv;
const plan = JSON.parse(readFileSync(planFile, "utf8"));
for (const count of copies.map(Number)) {
  const home = resolve(folder, "copies-" + count);
  mkdirSync(home, { recursive: true });
  writeFileSync(home + "/plan.json", JSON.stringify(larger(plan, count)));
  const began = performance.now();
  // A nursery repeated in one place goes beyond every limit: what its other days would cost says nothing.
  const brief = count > 1 ? ["--brief"] : [];
  execFileSync(resolve(program), ["page", home, ...brief], { stdio: ["ignore", "ignore", "inherit"] });
  const made = performance.now() - began;
  const paints = [];
  const ready = [];
  let nodes = 0;
  for (let at = 0; at < 5; at++) {
    const browser = await launch();
    const { page } = await open(browser, home + "/page.html", { viewport: { width: 1280, height: 900 } });
    await page.waitForTimeout(300);
    const seen = await page.evaluate(() => [performance.getEntriesByName("first-contentful-paint")[0]?.startTime, performance.getEntriesByType("navigation")[0].loadEventEnd, document.querySelectorAll("*").length]);
    paints.push(seen[0]);
    ready.push(seen[1]);
    nodes = seen[2];
    await browser.close();
  }
  const middle = (all) => Math.round(all.sort((a, b) => a - b)[2]);
  const lots = plan.deliveries.length * count;
  console.log(`${lots} lots: ${Math.round(statSync(home + "/page.html").size / 1000)} kB, first paint ${middle(paints)} ms, ready ${middle(ready)} ms, ${nodes} nodes, made in ${Math.round(made)} ms`);
}
