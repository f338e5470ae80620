// The live page in a real Chromium, a finger by the DevTools protocol.
// usage: node browser_test.mjs PANEPROOF [FOLDER for the screenshots of docs/]
import { join } from "node:path";
import { spawnSync } from "node:child_process";
import { program, folder, start_bench, expect, finish, read, check, pause } from "./bench.mjs";
import { accessible, launch, open_page, start, sweep, until } from "./browser.mjs";

const shots = process.argv[3];
const browser = await launch();
const run = (...args) => spawnSync(program, args, { cwd: folder, encoding: "utf8" });
const shot = async (page, name) => shots && page.screenshot({ path: join(shots, name) });

// ---- a good panel ----
{
  process.env.XDG_DATA_HOME = join(folder, "data");
  run("key", "new");
  const bench = await start_bench(["--job", "WO-2207", "--panel", "68x142", "--keep", "good.jsonl", "--json", "good.json", "--heatmap", "good.png", "--evidence", "good.pdf"]);
  const { page, cdp, troubles, outside, context } = await open_page(browser, bench);
  expect("the token is out of the address bar", !page.url().includes(bench.token), page.url());
  await shot(page, "sweep-start.png");
  await start(page);
  await sweep(cdp, { rows: 6 });
  await shot(page, "sweep-midway.png");
  await sweep(cdp);
  const told = async () => {
    const lifted = performance.now() - 120;  // the sweep pauses so long after its last stroke
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
  expect("the evidence of the live sweep is genuine", run("verify", "good.pdf").status === 0 && bench.err.includes("recorded: entry"), bench.err.slice(-400));
  const lines = read("good.jsonl").trim().split("\n").map((l) => JSON.parse(l));
  const points = lines.filter((l) => l.type).reduce((sum, l) => sum + Math.max(1, (l.coalesced || []).length), 0);
  console.log(`${points} points in ${lines.filter((l) => l.chunk !== undefined).length} chunks`);
  await context.close();
}

// ---- a dead band, then again; the states of the page ----
{
  const bench = await start_bench(["--job", "WO-2208", "--panel", "68x142", "--keep", "dead.jsonl"]);
  const { page, cdp, context } = await open_page(browser, bench);
  await accessible(cdp, "the page before the sweep");
  await start(page);
  await sweep(cdp, { dead: [60, 66] });
  await until(page, () => !document.getElementById("stop").hidden, 15000);
  await shot(page, "sweep-dead-band.png");
  await page.tap("#stop");
  await until(page, () => document.getElementById("word").textContent !== "");
  const word = await page.textContent("#word");
  expect("a planted dead band fails", word.startsWith("Fail"), word + bench.err.slice(-1500));
  expect("the device offers to sweep again", await page.isVisible("#again"));
  await accessible(cdp, "the verdict");
  await page.setViewportSize({ width: 390, height: 844 });
  await until(page, () => document.getElementById("picture").naturalWidth > 0);
  const laid = await page.evaluate(() => {
    const box = (id) => document.getElementById(id).getBoundingClientRect(), picture = document.getElementById("picture");
    return { tops: ["word", "reasons", "next", "care", "choices", "map"].map((id) => box(id).top), narrowest: Math.min(box("steps").width, box("again").width),
      over: document.documentElement.scrollWidth - window.innerWidth, smallest_letters_px: 11 * box("picture").width / picture.naturalWidth };
  });
  expect("verdict, reasons, next step and cautions are text, and the map follows", laid.tops.every((top, i) => i === 0 || top > laid.tops[i - 1]), laid);
  expect("a phone shows the result without zooming or scrolling sideways", laid.over <= 0 && laid.narrowest > 300 && laid.smallest_letters_px >= 11, laid);
  await page.tap("#again");
  await until(page, () => !document.getElementById("glass").hidden);
  await accessible(cdp, "the glass");
  bench.child.kill("SIGINT");
  expect("the exit code of a fail is 1", (await bench.ended) === 1);
  await context.close();
}
await browser.close();
finish();
