// Opens the pages of worked jobs in a real browser: record, wall sheet and label of each, and the shop's, on a
// phone, a laptop and paper, light and dark. Fails where the accessibility checker finds something, where a
// page is wider than its window, asks for anything from outside, or says something to the console.
//
//   mkdir jobs shots; npm install puppeteer-core axe-core; cargo build
//   ANVILSIDE_JOBS=$PWD/jobs cargo test --test it record_page -- --ignored
//   ANVILSIDE_JOBS=$PWD/jobs cargo test --test pty for_a_browser -- --ignored
//   CHROME=$(command -v chromium) node tests/reference/pages.mjs target/debug/anvilside jobs shots [PLAN...]
//
// The checker is axe-core (WCAG 2.0 to 2.2, A and AA, and its rules of good practice). What it cannot judge is
// for eyes: the pictures of every page lie in the last folder.

import { execFileSync } from "node:child_process";
import { readdirSync, statSync } from "node:fs";
import { createRequire } from "node:module";
import path from "node:path";
import { pathToFileURL } from "node:url";

const require = createRequire(path.join(process.cwd(), "package.json"));
const puppeteer = require("puppeteer-core");
const axe = require.resolve("axe-core/axe.min.js");

const [program, jobs, shots, ...only] = process.argv.slice(2).map((each, at) => (at < 3 ? path.resolve(each) : each));
const sizes = {
  phone: { width: 390, height: 844, deviceScaleFactor: 2, isMobile: true },
  laptop: { width: 1366, height: 768, deviceScaleFactor: 1 },
};
const tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];

const wrong = [];
const browser = await puppeteer.launch({ executablePath: process.env.CHROME, args: ["--no-sandbox"] });
const names = readdirSync(jobs).filter((name) => name.endsWith(".toml") && name !== "anvilside.shop.toml").map((name) => name.slice(0, -5));

for (const name of names.filter((each) => only.length === 0 || only.includes(each))) {
  const plan = path.join(jobs, `${name}.toml`);
  const made = {
    record: ["record", plan, "--html"],
    sheet: ["sheet", plan, "--out"],
    label: ["label", plan, "--html"],
    ...(name === names[0] && { shop: ["shop", jobs, "--html"] }),
  };
  for (const [kind, args] of Object.entries(made)) {
    const file = path.join(shots, `${name}-${kind}.html`);
    // A job that is not finished has no label yet, and the program says so.
    try {
      execFileSync(program, [...args, file], { stdio: "pipe" });
    } catch (refused) {
      if (kind === "label" && `${refused.stderr}`.includes("not finished")) continue;
      throw refused;
    }
    const said = [];
    for (const [device, viewport] of Object.entries(sizes)) {
      for (const scheme of ["light", "dark"]) {
        const page = await browser.newPage();
        const where = `${name} ${kind} ${device} ${scheme}`;
        page.on("console", (message) => wrong.push(`${where}: console: ${message.text()}`));
        page.on("request", (request) => {
          if (!/^(file|data|about):/.test(request.url())) wrong.push(`${where}: asks for ${request.url()}`);
        });
        await page.setViewport(viewport);
        await page.emulateMediaFeatures([{ name: "prefers-color-scheme", value: scheme }]);
        await page.goto(pathToFileURL(file).href, { waitUntil: "load" });
        const [inside, whole, tall] = await page.evaluate(() => {
          const all = document.scrollingElement;
          return [innerWidth, all.scrollWidth, all.scrollHeight];
        });
        if (whole > inside) wrong.push(`${where}: ${whole} dots wide in a window of ${inside}`);
        // a picture taller than this is refused
        const clip = { x: 0, y: 0, width: inside, height: Math.min(tall, 8000) };
        await page.screenshot({ path: path.join(shots, `${name}-${kind}-${device}-${scheme}.png`), clip });
        // Closed tables are looked at too.
        await page.evaluate(() => document.querySelectorAll("details").forEach((each) => (each.open = true)));
        await page.addScriptTag({ path: axe });
        const found = await page.evaluate((tags) => axe.run(document, { runOnly: tags }), tags);
        for (const each of found.violations) {
          const places = each.nodes.slice(0, 3).map((node) => node.target.join(" ")).join("; ");
          wrong.push(`${where}: ${each.id}: ${each.help} (${each.nodes.length}): ${places}`);
        }
        said.push(`${device} ${scheme} ${found.passes.length} rules`);
        await page.close();
      }
    }
    const page = await browser.newPage();
    await page.goto(pathToFileURL(file).href, { waitUntil: "load" });
    for (const format of ["A4", "Letter"]) {
      const pdf = path.join(shots, `${name}-${kind}-${format}.pdf`);
      await page.pdf({ path: pdf, format, preferCSSPageSize: false, printBackground: true });
    }
    await page.close();
    console.log(`${name} ${kind}: ${Math.round(statSync(file).size / 1024)} kB; ${said.join(", ")}`);
  }
}
await browser.close();
for (const each of wrong) console.log(`WRONG ${each}`);
process.exit(wrong.length > 0 ? 1 : 0);
