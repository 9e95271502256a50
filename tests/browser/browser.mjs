// Opens files in a headless browser that may not reach any network.
import { chromium } from "playwright-core";

const flags = ["--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"];

/** A browser with a new, empty profile. */
export const launch = () => chromium.launch({ executablePath: process.env.CHROMIUM || "/usr/bin/chromium", chromiumSandbox: false, headless: true, args: flags });

/** A page of the file; `wrong` gathers what it must not do: complain, fail, or fetch anything. */
export async function open(browser, file, options = {}) {
  const context = await browser.newContext(options);
  const page = await context.newPage();
  const wrong = [];
  page.on("console", (said) => {
    if (["error", "warning"].includes(said.type())) wrong.push("console: " + said.text());
  });
  page.on("pageerror", (error) => wrong.push("script: " + error.message));
  const address = "file://" + file;
  page.on("request", (request) => {
    if (request.url() !== address) wrong.push("request: " + request.url());
  });
  await page.goto(address);
  return { page, wrong, context };
}
