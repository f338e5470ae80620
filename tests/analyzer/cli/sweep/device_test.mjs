// `paneproof sweep --device` through the real libevdev, on a touchscreen that support/fake_evdev.c makes up from a
// rehearsed recording: machines that run tests seldom have one. usage: node device_test.mjs PANEPROOF FAKE_EVDEV.so
import { spawn, spawnSync } from "node:child_process";
import { mkdirSync, readFileSync, writeFileSync, existsSync } from "node:fs";
import { join } from "node:path";
import { program, folder, expect, finish, check, read } from "./bench.mjs";

const fake = process.argv[3], nodes = join(folder, "input");
mkdirSync(nodes);
writeFileSync(join(nodes, "event7"), "");
let size = "";
const rehearse = (...args) => {
  const made = spawnSync(program, ["rehearse", "--seed", "5", "--as", "evemu", "-o", "-", ...args], { encoding: "utf8", maxBuffer: 1 << 28 });
  if (made.status !== 0) throw new Error(made.stderr);
  size = made.stderr.match(/--panel (\S+)/)[1];
  return made.stdout;
};
// Ends by itself, or by Ctrl-C after `longest_ms`.
const run = (script, args, longest_ms = 20000) => new Promise((done) => {
  writeFileSync(join(folder, "script"), script);
  writeFileSync(join(folder, "asked"), "");
  const child = spawn(program, ["sweep", "--device", join(nodes, "event7"), ...args], { cwd: folder,
    env: { ...process.env, LD_PRELOAD: fake, FAKE_EVDEV_FOLDER: nodes, FAKE_EVDEV_SCRIPT: join(folder, "script"), FAKE_EVDEV_SPEED: "12", FAKE_EVDEV_LOG: join(folder, "asked") } });
  const late = setTimeout(() => child.kill("SIGINT"), longest_ms);
  let stderr = "";
  child.stderr.on("data", (d) => (stderr += d));
  child.on("close", (status) => (clearTimeout(late), done({ status, stderr })));
});
const good = rehearse();
process.env.XDG_DATA_HOME = join(folder, "data");
const desk = (...args) => spawnSync(program, args, { cwd: folder, encoding: "utf8" });
const early = await run(good, ["--job", "D-0", "--panel", size, "--evidence", "d0.pdf"]);
expect("without a key nobody sweeps for evidence", early.status === 66 && !existsSync(join(folder, "D-0.sweep.evemu")), early.stderr);
desk("key", "new");
const nowhere = await run(good, ["--job", "D-0", "--panel", size, "--evidence", "none/d0.pdf"]);
expect("nor where the evidence cannot be written", nowhere.status === 73 && !existsSync(join(folder, "D-0.sweep.evemu")), nowhere.stderr);

const whole = await run(good, ["--job", "D-1", "--panel", size, "--json", "d1.json", "--evidence", "d1.pdf"]);
expect("a good sweep of a touchscreen of this machine passes", whole.status === 0, whole.stderr.slice(-800));
const verified = desk("verify", "d1.pdf");
expect("its evidence is genuine, recorded and of a live sweep", verified.status === 0 && whole.stderr.includes("recorded: entry") && desk("ledger", "audit", "--against", "d1.pdf").status === 0
       && readFileSync(join(folder, "d1.pdf")).includes("statement.jws"), verified.stdout + whole.stderr.slice(-300));
const jws = readFileSync(join(folder, "d1.pdf"), "latin1").match(/[\w-]{40,}\.([\w-]{200,})\.[\w-]{86}/);
expect("the statement says live", JSON.parse(Buffer.from(jws[1], "base64url")).origin === "live");
const asked = readFileSync(join(folder, "asked"), "utf8");
expect("the device was grabbed", asked.includes("grab 1"), asked);
expect("its times are of the monotonic clock", asked.includes("clock 1"), asked);
const again = check("D-1.sweep.evemu", "--panel", size);
expect("the kept log checked again gives the same result", JSON.stringify(again.result) === JSON.stringify(JSON.parse(read("d1.json"))), again.err);
const axes = (text) => text.split("\n").filter((l) => l.startsWith("A:")).sort().join("\n");
expect("the kept log tells the axes as the device does", axes(read("D-1.sweep.evemu")) === axes(good));

// Unplugged in the midst of a row, and back under another node.
const lines = good.split("\n"), middle = Math.floor(lines.length / 2);
const pulled = await run([...lines.slice(0, middle), "# unplug event9", ...lines.slice(middle)].join("\n"), ["--job", "D-2", "--panel", size, "--json", "d2.json"], 9000);
expect("a touchscreen that was unplugged and came back goes on", existsSync(join(folder, "d2.json")) && pulled.stderr.includes("unplugged") && pulled.stderr.includes("is back"), pulled.stderr.slice(0, 500));
expect("nothing of it is blamed on the panel", pulled.status === 0 || pulled.status === 2, pulled.stderr.slice(-800));
expect("the log says that the capture lost events", /0000 0003/.test(read("D-2.sweep.evemu")));

const unsized = await run(good, ["--job", "D-6"]);
expect("a touchscreen that does not tell its size is refused before the sweep", unsized.status === 64 && unsized.stderr.includes("--panel"), unsized.stderr);
const none = spawnSync(program, ["sweep", "--job", "D-3", "--device", join(folder, "event99")], { cwd: folder, encoding: "utf8" });
expect("a node that is not there is told in one line", none.status === 66 && none.stderr.trim().split("\n").length === 1, none.stderr);
const keyboard = await run(good.split("\n").filter((l) => !/^(A:|B: 03)/.test(l)).join("\n"), ["--job", "D-4"]);
expect("a device that is no touchscreen is refused", keyboard.status === 66 && keyboard.stderr.includes("touchscreen"), keyboard.stderr);
const plain = spawnSync(program, ["sweep", "--job", "D-5", "--device", "/dev/null"], { cwd: folder, encoding: "utf8" });
expect("no input device is told", plain.status === 66, plain.stderr);
finish();
