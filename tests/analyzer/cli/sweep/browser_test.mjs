// The live page in a real Chromium, a finger by the DevTools protocol.
// usage: node browser_test.mjs PANEPROOF [FOLDER for the screenshots of docs/]
import { createRequire } from "node:module";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { chromium } from "playwright-core";
import { start_bench, expect, finish, folder, read, check, pause } from "./bench.mjs";

const shots = process.argv[3];
const axe_source = createRequire(import.meta.url).resolve("axe-core/axe.min.js");
const width_px = 412, height_px = 860, width_mm = 68, height_mm = 142;
const browser = await chromium.launch({ executablePath: process.env.CHROMIUM || "/usr/bin/chromium", args: ["--no-sandbox", "--disable-gpu"] });

async function open_page(bench) {
  const context = await browser.newContext({ viewport: { width: width_px, height: height_px }, screen: { width: width_px, height: height_px }, hasTouch: true, isMobile: true, deviceScaleFactor: 2 });
  const page = await context.newPage(), troubles = [], outside = [];
  page.on("pageerror", (e) => troubles.push(String(e)));
  page.on("console", (m) => m.type() === "error" && troubles.push(m.text()));
  page.on("request", (r) => !r.url().startsWith(bench.base) && !/^(blob|data):/.test(r.url()) && outside.push(r.url()));
  await page.goto(bench.address);
  await until(page, () => document.getElementById("pace").textContent !== "");
  return { context, page, troubles, outside, cdp: await context.newCDPSession(page) };
}

// Asks again and again: the page's policy allows no script of a waiting driver.
async function until(page, holds, longest_ms = 8000) {
  for (const end = Date.now() + longest_ms; Date.now() < end; await pause(40)) if (await page.evaluate(holds)) return true;
  return false;
}

// A stroke at 120 points a second and `speed` mm/s; inside `dead` (mm of y) the panel says nothing.
async function stroke(cdp, from, to, dead, speed = 190) {
  const length = Math.hypot(to[0] - from[0], to[1] - from[1]), steps = Math.ceil(length / speed * 120), begun = performance.now(), epoch = Date.now();
  const sent = [];
  let down = false;
  for (let k = 0; k <= steps; ++k) {
    const due = k * 1000 / 120, left = due - (performance.now() - begun);
    if (left > 1) await pause(left);
    const x = from[0] + (to[0] - from[0]) * k / steps, y = from[1] + (to[1] - from[1]) * k / steps, timestamp = (epoch + due) / 1000;
    const silent = dead && y > dead[0] && y < dead[1];
    const touchPoints = [{ x: x * width_px / width_mm, y: y * height_px / height_mm, id: 1 }];
    if (silent && down) sent.push(cdp.send("Input.dispatchTouchEvent", { type: "touchEnd", touchPoints: [], timestamp })), down = false;
    else if (!silent) sent.push(cdp.send("Input.dispatchTouchEvent", { type: down ? "touchMove" : "touchStart", touchPoints, timestamp })), down = true;
  }
  if (down) sent.push(cdp.send("Input.dispatchTouchEvent", { type: "touchEnd", touchPoints: [], timestamp: (epoch + steps * 1000 / 120 + 8) / 1000 }));
  await Promise.all(sent);
}
async function sweep(cdp, { dead, rows = 15, stop = () => false } = {}) {
  for (let r = 0; r < rows && !stop(); ++r) {
    const x = 1.5 + r * (width_mm - 3) / (rows - 1), ends = r % 2 ? [height_mm - 0.6, 0.6] : [0.6, height_mm - 0.6];
    await stroke(cdp, [x, ends[0]], [x, ends[1]], dead);
    await pause(120);
  }
}
async function accessible(cdp, where) {
  await cdp.send("Runtime.evaluate", { expression: axe_text });  // the protocol's own way: the page's CSP stays as it is
  const run = await cdp.send("Runtime.evaluate", { awaitPromise: true, returnByValue: true,
    expression: "axe.run().then((r) => r.violations.map((v) => v.id + ': ' + v.nodes.map((n) => n.target).join(' ')))" });
  expect(`axe-core finds nothing on ${where}`, Array.isArray(run.result.value) && run.result.value.length === 0, run.result.value ?? run);
}
const axe_text = readFileSync(axe_source, "utf8");
const shot = async (page, name) => shots && page.screenshot({ path: join(shots, name) });

// ---- a good panel ----
{
  const bench = await start_bench(["--job", "WO-2207", "--panel", "68x142", "--keep", "good.jsonl", "--json", "good.json", "--heatmap", "good.png"]);
  const { page, cdp, troubles, outside, context } = await open_page(bench);
  expect("the token is out of the address bar", !page.url().includes(bench.token), page.url());
  await shot(page, "sweep-start.png");
  await page.tap("#start");
  await until(page, () => !document.getElementById("glass").hidden);
  await pause(600);
  await sweep(cdp, { rows: 6 });
  await shot(page, "sweep-midway.png");
  await sweep(cdp);
  const told = async () => {
    const lifted = performance.now();
    let verdict = "";
    for (let i = 0; i < 60 && !verdict; ++i, await pause(50)) verdict = (await page.textContent("#word")) || "";
    console.log(`verdict on the device ${(performance.now() - lifted).toFixed(0)} ms after the last lift: ${verdict}`);
    if (verdict) return verdict;
    await until(page, () => !document.getElementById("stop").hidden);
    await page.tap("#stop").catch(() => 0);
    await until(page, () => document.getElementById("word").textContent !== "");
    return page.textContent("#word");
  };
  let verdict = await told();
  if (verdict.startsWith("Resweep")) {  // a busy machine moved the made-up finger unevenly: the same cells again
    await page.tap("#again");
    await until(page, () => !document.getElementById("glass").hidden);
    await sweep(cdp);
    verdict = await told();
  }
  expect("a full sweep passes, on the device too", verdict.startsWith("Pass"), verdict + bench.err.slice(-1500));
  await pause(400);
  await shot(page, "sweep-pass.png");
  expect("no script error and no refused resource", troubles.length === 0, troubles);
  expect("no request leaves the bench", outside.length === 0, outside);
  await page.tap("#done");
  expect("the exit code of a pass is 0", (await bench.ended) === 0);
  const again = check("good.jsonl", "--panel", "68x142"), live = JSON.parse(read("good.json"));
  expect("the kept log checked again gives the same result", JSON.stringify(again.result) === JSON.stringify(live));
  const lines = read("good.jsonl").trim().split("\n").map((l) => JSON.parse(l));
  const points = lines.filter((l) => l.type).reduce((sum, l) => sum + Math.max(1, (l.coalesced || []).length), 0);
  console.log(`${points} points in ${lines.filter((l) => l.chunk !== undefined).length} chunks`);
  await context.close();
}

// ---- a dead band, then again; the states of the page ----
{
  const bench = await start_bench(["--job", "WO-2208", "--panel", "68x142", "--keep", "dead.jsonl"]);
  const { page, cdp, context } = await open_page(bench);
  await accessible(cdp, "the page before the sweep");
  await page.tap("#start");
  await pause(600);
  await sweep(cdp, { dead: [60, 66] });
  await until(page, () => !document.getElementById("stop").hidden, 15000);
  await shot(page, "sweep-dead-band.png");
  await page.tap("#stop");
  await until(page, () => document.getElementById("word").textContent !== "");
  const word = await page.textContent("#word");
  expect("a planted dead band fails", word.startsWith("Fail"), word + bench.err.slice(-1500));
  expect("the device offers to sweep again", await page.isVisible("#again"));
  await accessible(cdp, "the verdict");
  await page.tap("#again");
  await until(page, () => !document.getElementById("glass").hidden);
  await accessible(cdp, "the glass");
  bench.child.kill("SIGINT");
  expect("the exit code of a fail is 1", (await bench.ended) === 1);
  await context.close();
}
await browser.close();
finish();
