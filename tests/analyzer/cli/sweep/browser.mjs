// A real Chromium and a finger by the DevTools protocol, for the tests of the live page.
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { chromium } from "playwright-core";
import { expect, pause } from "./bench.mjs";

export const width_px = 412, height_px = 860, width_mm = 68, height_mm = 142;
const axe_text = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

export const launch = (...args) => chromium.launch({ executablePath: process.env.CHROMIUM || "/usr/bin/chromium", args: ["--no-sandbox", "--disable-gpu", ...args] });

// `prepare`: script that runs in the page before its own; `options`: of the context.
export async function open_page(browser, bench, { prepare, options = {} } = {}) {
  const context = await browser.newContext({ viewport: { width: width_px, height: height_px }, screen: { width: width_px, height: height_px }, hasTouch: true, isMobile: true, deviceScaleFactor: 2, ...options });
  const page = await context.newPage(), troubles = [], outside = [];
  if (prepare) await page.addInitScript(prepare);
  page.on("pageerror", (e) => troubles.push(String(e)));
  page.on("console", (m) => m.type() === "error" && troubles.push(m.text()));
  page.on("request", (r) => !r.url().startsWith(bench.base) && !/^(blob|data):/.test(r.url()) && outside.push(r.url()));
  await page.goto(bench.address);
  await until(page, () => document.getElementById("job").textContent !== "");
  return { context, page, troubles, outside, cdp: await context.newCDPSession(page) };
}

export async function start(page) {
  await page.tap("#start");
  await until(page, () => !document.getElementById("glass").hidden);
  await pause(600);
}

// Asks again and again: the page's policy allows no script of a waiting driver.
export async function until(page, holds, longest_ms = 8000) {
  for (const end = Date.now() + longest_ms; Date.now() < end; await pause(40)) if (await page.evaluate(holds)) return true;
  return false;
}

export const px = ([x, y]) => ({ x: x * width_px / width_mm, y: y * height_px / height_mm });
export const touch = (cdp, type, points, timestamp = Date.now() / 1000) =>
  cdp.send("Input.dispatchTouchEvent", { type, touchPoints: points.map((p, id) => ({ ...px(p), id: id + 1 })), timestamp });

// A stroke at 120 points a second and `speed` mm/s; inside `dead` (mm of y) the panel says nothing.
export async function stroke(cdp, from, to, dead, speed = 190) {
  const length = Math.hypot(to[0] - from[0], to[1] - from[1]), steps = Math.ceil(length / speed * 120), begun = performance.now(), epoch = Date.now();
  const sent = [];
  let down = false;
  for (let k = 0; k <= steps; ++k) {
    const due = k * 1000 / 120, left = due - (performance.now() - begun);
    if (left > 1) await pause(left);
    const at = [from[0] + (to[0] - from[0]) * k / steps, from[1] + (to[1] - from[1]) * k / steps], timestamp = (epoch + due) / 1000;
    const silent = dead && at[1] > dead[0] && at[1] < dead[1];
    if (silent && down) sent.push(touch(cdp, "touchEnd", [], timestamp)), down = false;
    else if (!silent) sent.push(touch(cdp, down ? "touchMove" : "touchStart", [at], timestamp)), down = true;
  }
  if (down) sent.push(touch(cdp, "touchEnd", [], (epoch + steps * 1000 / 120 + 8) / 1000));
  await Promise.all(sent);
}
export async function sweep(cdp, { dead, rows = 15, stop = () => false } = {}) {
  for (let r = 0; r < rows && !stop(); ++r) {
    const x = 1.5 + r * (width_mm - 3) / (rows - 1), ends = r % 2 ? [height_mm - 0.6, 0.6] : [0.6, height_mm - 0.6];
    await stroke(cdp, [x, ends[0]], [x, ends[1]], dead);
    await pause(120);
  }
}

export async function accessible(cdp, where) {
  await cdp.send("Runtime.evaluate", { expression: axe_text });  // the protocol's own way: the page's CSP stays as it is
  const run = await cdp.send("Runtime.evaluate", { awaitPromise: true, returnByValue: true,
    expression: "axe.run().then((r) => r.violations.map((v) => v.id + ': ' + v.nodes.map((n) => n.target).join(' ')))" });
  expect(`axe-core finds nothing on ${where}`, Array.isArray(run.result.value) && run.result.value.length === 0, run.result.value ?? run);
}
