// A sweep over the network: plain http, where a browser gives one point a displayed frame, and https with the
// bench's own certificate, held against node's TLS (OpenSSL) and a real Chromium. usage: node lan_test.mjs PANEPROOF
import http from "node:http";
import https from "node:https";
import { networkInterfaces } from "node:os";
import { statSync, mkdirSync } from "node:fs";
import { join } from "node:path";
import { by_loopback, start_bench, expect, finish, folder, check, pause, read } from "./bench.mjs";
import { launch, open_page, start, stroke, until } from "./browser.mjs";

if (!Object.values(networkInterfaces()).flat().some((a) => a.family === "IPv4" && !a.internal)) {
  console.log("this machine is on no network: nothing to try");
  process.exit(0);
}
process.env.XDG_DATA_HOME = join(folder, "data");
mkdirSync(process.env.XDG_DATA_HOME);
const get = (library, bench, more = {}) => new Promise((done) => {
  const url = new URL(bench.base);
  const request = library.request({ host: url.hostname, port: url.port, path: "/", rejectUnauthorized: false, timeout: 5000, ...more }, (answer) => {
    answer.resume();
    const certificate = answer.socket.getPeerCertificate?.();
    answer.on("end", () => done({ status: answer.statusCode, certificate }));
  });
  request.on("error", () => done({ status: 0 }));
  request.on("timeout", () => request.destroy());
  request.end();
});
const fingerprint = (bench) => bench.err.match(/([0-9A-F]{2}:){31}[0-9A-F]{2}/)?.[0];
const points = (keep) => {
  const moves = read(keep).trim().split("\n").map((l) => JSON.parse(l)).filter((l) => l.type === "pointermove");
  return { events: moves.length, points: moves.reduce((sum, l) => sum + Math.max(1, (l.coalesced || []).length), 0) };
};

const browser = await launch();
async function three_strokes(bench, more) {
  const { page, cdp, context } = await open_page(browser, bench, more);
  await start(page);
  for (const x of [10, 20, 30]) await stroke(cdp, [x, 5], [x, 137]);
  await pause(600);
  const secure = await page.evaluate(() => window.isSecureContext);
  bench.child.kill("SIGINT");
  await bench.ended;
  await context.close();
  return secure;
}

// A page over plain http from another machine is no secure context and has no coalesced points; loopback is one.
const plain = by_loopback(await start_bench(["--job", "L-1", "--panel", "68x142", "--lan", "--keep", "L-1.jsonl"]));
expect("over plain http the bench says what is exposed", plain.err.includes("Exposed") || (await pause(300), plain.err.includes("Exposed")));
await three_strokes(plain, { prepare: "delete PointerEvent.prototype.getCoalescedEvents;" });
const limited = check("L-1.jsonl", "--panel", "68x142").result;
expect("the result is limited by the browser", limited.intervals.limited_by_source === true && plain.err.includes("limited by the browser"), plain.err.slice(-300));
expect("no missed report is charged to the panel", !limited.reasons.some((r) => r.id === "report_rate_low") && limited.dropouts.length === 0, limited.reasons);

const announced = await start_bench(["--job", "L-2", "--panel", "68x142", "--lan", "--tls", "--keep", "L-2.jsonl"]);
const outside = new URL(announced.base).hostname, safe = by_loopback(announced);
for (let i = 0; i < 40 && !fingerprint(safe); ++i) await pause(50);
expect("the address is https", safe.base.startsWith("https://"), safe.base);
const answer = await get(https, safe);
expect("the fingerprint shown is the certificate's", answer.certificate?.fingerprint256 === fingerprint(safe), [answer.certificate?.fingerprint256, fingerprint(safe)]);
expect("the certificate names the bench's address", (answer.certificate?.subjectaltname || "").includes(outside), answer.certificate?.subjectaltname);
expect("plain http is not answered there", (await get(http, safe)).status === 0);
expect("a foreign host is refused over TLS too", (await get(https, safe, { headers: { Host: "evil.example" } })).status === 421);
expect("the bench's key is for its owner alone", (statSync(join(process.env.XDG_DATA_HOME, "paneproof/sweep-key.pem")).mode & 0o777) === 0o600);
expect("https is a secure context", (await three_strokes(safe, { options: { ignoreHTTPSErrors: true } })) === true);
const whole = check("L-2.jsonl", "--panel", "68x142").result, counted = points("L-2.jsonl");
expect("coalesced points come, and nothing is limited", whole.intervals.limited_by_source === false && counted.points > counted.events, counted);

const again = await start_bench(["--job", "L-3", "--panel", "68x142", "--lan", "--tls"]);
for (let i = 0; i < 40 && !fingerprint(again); ++i) await pause(50);
expect("the certificate stays the same", fingerprint(again) === fingerprint(safe));
again.child.kill("SIGINT");
await again.ended;
await browser.close();
finish();
