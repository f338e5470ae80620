// What the tests of the live sweep share: a bench (the program under test), and requests as a page makes them.
import { spawn, spawnSync } from "node:child_process";
import http from "node:http";
import https from "node:https";
import { mkdtempSync, readFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

export const program = process.argv[2];
export const folder = mkdtempSync(join(tmpdir(), "sweep-test-"));
export const pause = (ms) => new Promise((go) => setTimeout(go, ms));
export const random_device = () => Array.from({ length: 32 }, () => "0123456789abcdef"[Math.floor(Math.random() * 16)]).join("");

// Starts `paneproof sweep`; resolves when the address is printed.
export async function start_bench(args) {
  const child = spawn(program, ["sweep", ...args], { cwd: folder, stdio: ["ignore", "pipe", "pipe"] });
  const bench = { child, out: "", err: "" };
  child.stdout.on("data", (d) => (bench.out += d));
  child.stderr.on("data", (d) => (bench.err += d));
  bench.ended = new Promise((done) => child.on("close", (code) => done(code)));
  for (let i = 0; i < 400 && !bench.out.includes("\n") && child.exitCode === null; ++i) await pause(25);
  if (!bench.out.includes("\n")) throw new Error("no address: " + bench.err);
  bench.address = bench.out.split("\n")[0];
  const [base, token] = bench.address.split("/#");
  Object.assign(bench, { base, token, port: Number(new URL(base).port) });
  return bench;
}

// By loopback, which --lan serves as well: a test talks to nobody's network.
export function by_loopback(bench) {
  for (const key of ["base", "address"]) bench[key] = bench[key].replace(/\/\/[0-9.]+:/, "//127.0.0.1:");
  return bench;
}

// One request; resolves to {status, body, ms}; status 0 when the connection broke.
export function ask(bench, method, path, { headers = {}, body, agent } = {}) {
  const begun = performance.now();
  return new Promise((done) => {
    const library = bench.base.startsWith("https:") ? https : http;
    const request = library.request({ rejectUnauthorized: false, host: "127.0.0.1", port: bench.port, method, path, headers, agent, timeout: 15000 }, (answer) => {
      let text = "";
      answer.on("data", (d) => (text += d));
      answer.on("end", () => done({ status: answer.statusCode, headers: answer.headers, body: text, ms: performance.now() - begun }));
      answer.on("error", () => done({ status: 0, body: "", ms: performance.now() - begun }));
    });
    request.on("error", () => done({ status: 0, body: "", ms: performance.now() - begun }));
    request.on("timeout", () => request.destroy());
    request.end(body);
  });
}

export const as_page = (bench, device, more = {}) => ({ "Paneproof-Token": bench.token, "Paneproof-Device": device, ...more });
export const send_chunk = (bench, device, number, body, agent) =>
  ask(bench, "POST", "/sweep/chunk", { agent, body, headers: as_page(bench, device, { "Content-Type": "application/x-ndjson", "Paneproof-Chunk": String(number) }) });

export const screen_line = JSON.stringify({ screen: { width: 412, height: 860, left: 0, top: 0 } }) + "\n";

// `paneproof check` of a kept log, as JSON.
export function check(file, ...args) {
  const run = spawnSync(program, ["check", file, ...args, "--json", "-"], { cwd: folder, encoding: "utf8" });
  return { exit: run.status, result: run.stdout ? JSON.parse(run.stdout) : null, err: run.stderr };
}
export const read = (name) => readFileSync(join(folder, name), "utf8");

let failures = 0;
export function expect(promise, holds, seen) {
  console.log(`${holds ? "ok  " : "FAIL"}  ${promise}${holds || seen === undefined ? "" : "  -- " + JSON.stringify(seen)}`);
  if (!holds) ++failures;
}
export function finish() {
  console.log(failures ? `${failures} promises broken` : "all promises hold");
  process.exit(failures ? 1 : 0);
}
export function percentile(values, share) {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))];
}
