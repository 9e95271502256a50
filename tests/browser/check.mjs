// Opens the page of a plan as people do: looks, searches, sorts, clicks, goes by keyboard, prints.
// node check.mjs PROGRAM PLAN.json FOLDER
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { resolve } from "node:path";
import { HtmlValidate } from "html-validate";
import { launch, open } from "./browser.mjs";
import { larger } from "./larger.mjs";

const [, , program, planFile, folder] = process.argv.map((path, at) => (at > 1 ? resolve(path) : path));
const step = async (name, work) => {
  await work();
  console.log("ok    " + name);
};
const make = (plan, name, more = []) => {
  const home = folder + "/" + name;
  mkdirSync(home, { recursive: true });
  writeFileSync(home + "/plan.json", JSON.stringify(plan));
  execFileSync(program, ["page", home, "--today", today, ...more], { stdio: ["ignore", "ignore", "inherit"] });
  return home + "/page.html";
};
const plan = JSON.parse(readFileSync(planFile, "utf8"));
const sowing = plan.runs.map((run) => run.sow).sort();
const today = sowing[Math.floor(sowing.length / 2)];

// A later revision in which one field is planted on another day, kept beside the earlier one.
const later = structuredClone(plan);
later.revision = plan.revision + 1;
const moved = later.deliveries.at(-1);
moved.day = new Date(Date.parse(moved.day) + 86400000).toISOString().slice(0, 10);
mkdirSync(folder + "/usual", { recursive: true });
writeFileSync(folder + `/usual/plan-${plan.revision}.json`, JSON.stringify(plan));
const cells = [1, 2, 3].flatMap((at) => [1, 2].map((days) => ({ first: "2027-05-0" + at, days, at_risk: 40 * at, short: at > 2 ? 30 * days : 0, moved: at, extra: 1 })));
writeFileSync(folder + "/sweep.json", JSON.stringify(cells));
const usual = make(later, "usual", ["--beside", planFile, "--sweep", folder + "/sweep.json"]);

// Names that would do harm if they were taken for anything but text.
const evil = [
  `<img src=x onerror="window.harmed=1">`, `</script><script>window.harmed=1</script>`, `"><svg onload=window.harmed=1>`, `'-window.harmed-'`,
  `<!--<script>`, `]]>&lt;&#x3c;`, `=HYPERLINK("x")`, `\u0007\u0000bell`, `\u202egnihton`, `\u2028line\u2029`, `javascript:window.harmed=1`, `</style></title><p>`,
];
const evils = structuredClone(plan);
let next = 0;
const name = () => evil[next++ % evil.length];
evils.scenario.name = evil[1];
for (const list of ["kinds", "lines", "germination", "beds", "crews", "planters"]) evils.scenario[list].forEach((thing) => (thing.name = name()));
evils.scenario.fields.forEach((field) => (field.grower = name()));
evils.scenario.currency = evil[0];
const harmless = make(evils, "evil");
// A nursery repeated in one place goes beyond every limit: what its other days would cost says nothing.
const many = make(larger(plan, Number(process.env.COPIES || 8)), "many", ["--brief"]);

/** Faults in the attributes of pictures, by reading every one. */
const faultsOfPictures = () => {
  const faults = [];
  document.querySelectorAll("svg, svg *").forEach((part) => {
    for (const { name, value } of part.attributes) {
      if (name === "aria-label" || name === "class") continue;
      if (/nan|infinity|\binf\b|undefined|null/i.test(value)) faults.push(`${part.tagName} ${name}=${value}`);
      if (/^(width|height|r|rx|ry)$/.test(name) && !(Number.parseFloat(value) >= 0)) faults.push(`${part.tagName} ${name}=${value}`);
      if (name === "viewBox" && !/^-?\d+ -?\d+ [1-9]\d* [1-9]\d*$/.test(value)) faults.push(`${part.tagName} ${name}=${value}`);
      if (name === "d" && /h-?\d+v-\d+h|h0v/.test(value)) faults.push(`${part.tagName} d=${value.slice(0, 80)}`);
    }
  });
  return faults;
};

const browser = await launch();
try {
  const { page, wrong } = await open(browser, usual, { viewport: { width: 1280, height: 900 } });
  const dialog = page.locator("#story");

  await step("the check of pictures finds planted faults", async () => {
    const bad = await browser.newPage();
    await bad.setContent('<svg viewBox="0 0 9 9"><rect width="NaN" height="-20"/><path d="M0 0h3v-2h-3z"/></svg>');
    assert.equal((await bad.evaluate(faultsOfPictures)).length, 4);
    await bad.close();
  });
  await step("no picture holds a number that is none, or a negative size", async () => {
    assert.deepEqual(await page.evaluate(faultsOfPictures), []);
    assert.ok((await page.locator("main svg[role=img]").count()) > 5);
    for (const label of await page.locator("svg[role=img]").evaluateAll((all) => all.map((one) => one.getAttribute("aria-label")))) assert.match(label, /\d/);
  });
  await step("the first screen says what to do, what changed and whom to call", async () => {
    for (const id of ["today", "tomorrow", "mats", "calls", "full", "changed", "beside", "rain"]) assert.ok(await page.locator("#" + id).isVisible(), id);
    assert.match(await page.locator("#changed").innerText(), /call by .*not /s);
    assert.match(await page.locator("#rain").innerText(), /60!/);
    const shown = await page.locator("body").innerText();
    for (const never of [/\bbound\b/i, /\bgap\b/i, /solver/i, /\bseconds\b/i, /[0-9a-f]{16}/]) assert.doesNotMatch(shown, never);
  });
  await step("search, choice and sorting", async () => {
    const rows = page.locator("#table tbody tr");
    const all = await rows.count();
    assert.equal(all, plan.deliveries.length);
    const grower = plan.scenario.fields.find((field) => !field.spare).grower;
    await page.fill("#search", grower.toUpperCase());
    const some = await rows.count();
    assert.ok(some > 0 && some < all);
    assert.ok((await rows.allInnerTexts()).every((row) => row.includes(grower)));
    await page.fill("#search", "no such grower");
    assert.equal(await rows.count(), 0);
    await page.fill("#search", "");
    await page.selectOption("#grower", grower);
    assert.equal(await rows.count(), some);
    await page.selectOption("#grower", "");
    const trays = async () => (await rows.locator("td:nth-child(4)").allInnerTexts()).map(Number);
    await page.click("#table .sort[data-key=trays]");
    const up = await trays();
    assert.deepEqual(up, [...up].sort((a, b) => a - b));
    await page.click("#table .sort[data-key=trays]");
    assert.deepEqual(await trays(), [...up].sort((a, b) => b - a));
    assert.equal(await page.locator("#table th[aria-sort=descending]").count(), 1);
  });
  await step("a click on a lot, a row, a day and a picture", async () => {
    await page.click(".lot >> nth=1");
    const title = await dialog.locator("h2").innerText();
    assert.equal(title, await page.locator(".lot b >> nth=1").innerText());
    assert.match(await dialog.innerText(), /age[\s\S]*stands in/);
    await page.click("#story .close");
    assert.ok(!(await dialog.isVisible()));
    const rows = page.locator("svg.rows >> nth=0");
    const box = await rows.boundingBox();
    const count = Number(await rows.getAttribute("data-count"));
    await rows.click({ position: { x: 40, y: (box.height * 1.5) / count } });
    assert.equal(await dialog.locator("h2").innerText(), title);
    await page.keyboard.press("Escape");
    assert.ok(!(await dialog.isVisible()));
    await page.locator("#loads .plot svg >> nth=0").click();
    assert.match(await dialog.locator("h2").innerText(), /^Sheet of /);
    await page.keyboard.press("Escape");
    await page.fill("#pick", today);
    await page.click("#open-day");
    assert.match(await dialog.innerText(), /(For tomorrow|Last round)/);
    await page.keyboard.press("Escape");
    // The address is put back when the window has closed.
    await page.waitForFunction(() => !location.hash);
  });
  await step("everything by keyboard", async () => {
    await page.reload();
    await page.keyboard.press("Tab");
    assert.equal(await page.evaluate(() => document.activeElement.className), "skip");
    await page.keyboard.press("/");
    assert.equal(await page.evaluate(() => document.activeElement.id), "search");
    await page.focus(".lot >> nth=0");
    await page.keyboard.press("ArrowDown");
    assert.equal(await page.evaluate(() => document.activeElement.dataset.lot), "1");
    await page.keyboard.press("Enter");
    assert.ok(await dialog.isVisible());
    assert.equal(await page.evaluate(() => document.activeElement.id), "story-head");
    await page.keyboard.press("Escape");
    assert.equal(await page.evaluate(() => document.activeElement.dataset.lot), "1");
  });
  await step("fits 1280 and 390 px, light and dark", async () => {
    for (const colorScheme of ["light", "dark"]) {
      for (const width of [1280, 390]) {
        await page.emulateMedia({ colorScheme });
        await page.setViewportSize({ width, height: 900 });
        assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), `${width} px`);
        await page.screenshot({ path: `${folder}/${width}-${colorScheme}.png`, fullPage: true });
      }
    }
    await page.emulateMedia({ colorScheme: "light" });
  });
  await step("prints on A4 and Letter, all rows, nothing to click", async () => {
    for (const format of ["A4", "Letter"]) {
      const pdf = await page.pdf({ path: `${folder}/${format}.pdf`, format, preferCSSPageSize: false });
      assert.ok(pdf.length > 10_000);
    }
    const crowd = await open(browser, many, { viewport: { width: 720, height: 900 } });
    assert.equal(await crowd.page.locator("#table tbody tr").count(), 100);
    await crowd.page.evaluate(() => dispatchEvent(new Event("beforeprint")));
    await crowd.page.emulateMedia({ media: "print" });
    assert.ok((await crowd.page.locator("#table tbody tr").count()) > 100);
    for (const hidden of ["nav", ".controls", "#today .day"]) assert.ok(!(await crowd.page.locator(hidden).first().isVisible()), hidden);
    assert.ok(await crowd.page.evaluate(() => document.documentElement.scrollWidth <= innerWidth));
    assert.ok(await crowd.page.locator("#table tbody .day").first().isVisible(), "names of fields on paper");
    assert.deepEqual(crowd.wrong, []);
    await crowd.context.close();
  });
  await step("no complaint, no request", () => assert.deepEqual(wrong, []));
  await step("without its script the first screen and the rows still stand", async () => {
    const still = await open(browser, usual, { javaScriptEnabled: false });
    assert.ok(await still.page.locator("#today h2").isVisible());
    assert.equal(await still.page.locator(".lot").count(), plan.deliveries.length);
    await still.context.close();
  });
  await step("names with markup, formulas and control characters do no harm", async () => {
    const other = await open(browser, harmless);
    for (let at = 0; at < Math.min(6, plan.deliveries.length); at++) {
      await other.page.click(`.lot >> nth=${at}`);
      await other.page.keyboard.press("Escape");
    }
    await other.page.click("#today .day >> nth=0").catch(() => other.page.click("#open-day"));
    assert.equal(await other.page.evaluate(() => window.harmed), undefined);
    assert.equal(await other.page.locator("img, iframe, object, link, script[src]").count(), 0);
    assert.equal(await other.page.locator("h1").innerText(), evil[1]);
    assert.deepEqual(other.wrong, []);
    assert.deepEqual(await other.page.evaluate(faultsOfPictures), []);
    await other.context.close();
  });
  await step("valid markup", async () => {
    const html = new HtmlValidate({ extends: ["html-validate:recommended"], rules: { "no-inline-style": "off", "long-title": "off" } });
    const doubled = await html.validateString('<!DOCTYPE html><html lang="en"><head><title>a</title></head><body><p id="a"></p><p id="a"></p></body></html>');
    assert.ok(!doubled.valid);
    for (const file of [usual, harmless, many]) {
      const report = await html.validateString(readFileSync(file, "utf8"));
      assert.deepEqual(report.results.flatMap((one) => one.messages.map((said) => `${said.line}:${said.column} ${said.ruleId} ${said.message}`)).slice(0, 10), []);
    }
  });
} finally {
  await browser.close();
}
