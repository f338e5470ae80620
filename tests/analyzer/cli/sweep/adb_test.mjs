// `paneproof sweep --adb` against a made-up adb that plays the recorded sample of a good handheld, through the
// carriage returns of a terminal. usage: node adb_test.mjs PANEPROOF
import { spawnSync } from "node:child_process";
import { chmodSync, copyFileSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { gunzipSync } from "node:zlib";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { program, folder, expect, finish, check, read } from "./bench.mjs";

const here = dirname(fileURLToPath(import.meta.url)), bin = join(folder, "bin"), log = join(folder, "recorded.txt");
mkdirSync(bin);
copyFileSync(join(here, "fake_adb.sh"), join(bin, "adb"));
chmodSync(join(bin, "adb"), 0o755);
const recorded = gunzipSync(readFileSync(join(here, "../../../../samples/good-handheld.getevent.gz"))).toString();
writeFileSync(log, recorded);
const run = (args, env = {}) => spawnSync(program, ["sweep", ...args], { cwd: folder, encoding: "utf8", timeout: 60000,
  env: { ...process.env, PATH: bin + ":" + process.env.PATH, FAKE_ADB_LOG: log, ...env } });

const good = run(["--job", "U-1", "--adb", "--json", "u1.json"]);
expect("a recorded good sweep passes over adb", good.status === 0, good.stderr.slice(-600));
expect("the kept log is the recorded one", read("U-1.sweep.getevent") === recorded.slice(0, read("U-1.sweep.getevent").length));
expect("the kept log checked again gives the same result", JSON.stringify(check("U-1.sweep.getevent").result) === JSON.stringify(JSON.parse(read("u1.json"))));
const serial = run(["--job", "U-2", "--adb", "KY-17"]);
expect("a device is chosen by its serial", serial.status === 0, serial.stderr.slice(-300));
const wrong = run(["--job", "U-3", "--adb", "KY-99"]);
expect("an unknown serial is told in adb's words", wrong.status === 66 && wrong.stderr.includes("device 'KY-99' not found"), wrong.stderr);
const none = run(["--job", "U-4", "--adb"], { FAKE_ADB_DEVICES: "none" });
expect("no device is told, and no log is left", none.status === 66 && none.stderr.split("\n").length === 2, none.stderr);
const twice = run(["--job", "U-1", "--adb"]);
expect("a kept log is not written over", twice.status === 73, twice.stderr);
writeFileSync(log, recorded.replaceAll("resolution 76", "resolution 0"));
const sized = run(["--job", "U-5", "--adb"]);
// 1080 px / 403 dpi x 25.4 mm = 68.07 mm; 2255 px: 142.13 mm. The physical density, not the override.
expect("without units/mm the size comes from pixels and density", sized.status === 0 && sized.stderr.includes("68.1x142.1"), sized.stderr.slice(0, 300));
const missing = spawnSync(program, ["sweep", "--job", "U-6", "--adb"], { cwd: folder, encoding: "utf8", env: { PATH: "/nowhere" } });
expect("a missing adb is told", missing.status === 66 && missing.stderr.includes("install"), missing.stderr);
finish();
