// Chunks dropped, doubled, reordered, delayed, and the server killed: no acknowledged point is lost, none is
// stored twice, and the kept log reads as whole. usage: node faults_test.mjs PANEPROOF [SWEEPS [SEED]]
import { start_bench, send_chunk, screen_line, expect, finish, read, random_device, pause } from "./bench.mjs";

const sweeps = Number(process.argv[3] || 30), seed = Number(process.argv[4] || 20261125);
console.log(`seed ${seed}, ${sweeps} sweeps`);
let state = seed;
// mulberry32, public domain: a seeded generator, so that a failure can be played again.
function random() {
  state = (state + 0x6d2b79f5) | 0;
  let t = Math.imul(state ^ (state >>> 15), 1 | state);
  t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
  return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
}
const line = (type, n) => JSON.stringify({ type, pointerId: 1, pointerType: "touch", buttons: 1, timeStamp: n * 8.3, clientX: (n * 7) % 400, clientY: (n * 3) % 850 }) + "\n";

let acknowledged_lost = 0, doubled = 0, kills = 0, chunks = 0, not_whole = 0;
for (let s = 0; s < sweeps; ++s) {
  const job = `F-${s}`, device = random_device();
  let bench = await start_bench(["--job", job, "--panel", "68x142"]);
  const bodies = [screen_line], acknowledged = new Set();
  for (let c = 1, n = 0; c <= 40; ++c) {
    let body = "";
    for (let i = 0; i < 4; ++i, ++n) body += line(n === 0 ? "pointerdown" : "pointermove", n);
    bodies.push(body);
  }
  let next = 0;
  while (next < bodies.length) {
    const fault = random();
    if (fault < 0.02) {  // killed, perhaps with a chunk under way, and started again
      const under_way = send_chunk(bench, device, next, bodies[next]);
      await pause(random() * 4);
      bench.child.kill("SIGKILL");
      const got = await under_way;
      if (got.status === 200) acknowledged.add(next);
      await bench.ended;
      bench = await start_bench(["--job", job, "--panel", "68x142", "--port", String(bench.port)]);
      ++kills;
      continue;
    }
    const number = fault < 0.15 && next > 0 ? Math.floor(random() * next)           // an old one again
                   : fault < 0.25 && next + 1 < bodies.length ? next + 1 : next;    // one too early
    const answers = await Promise.all(Array.from({ length: fault > 0.85 ? 2 : 1 }, () => send_chunk(bench, device, number, bodies[number])));
    if (fault > 0.3 && fault < 0.4) continue;  // the answer is lost on its way back
    for (const answer of answers) {
      if (answer.status === 200) acknowledged.add(number);
      const told = answer.body ? JSON.parse(answer.body).next : undefined;
      if (told !== undefined) next = Math.max(next, told);
    }
    ++chunks;
  }
  bench.child.kill("SIGKILL");
  await bench.ended;
  const stored = read(`${job}.sweep.jsonl`).split("\n").filter(Boolean).map((text) => JSON.parse(text));
  const marks = stored.filter((l) => l.chunk !== undefined).map((l) => l.chunk);
  for (const c of acknowledged) if (!marks.includes(c)) ++acknowledged_lost;
  if (new Set(marks).size !== marks.length) ++doubled;
  const times = stored.slice(1).map((l) => l.timeStamp), wanted = Array.from({ length: 160 }, (_, n) => n * 8.3);
  if (JSON.stringify(times) !== JSON.stringify(wanted)) ++not_whole;
}
console.log(`${chunks} rounds, ${kills} kills`);
expect("no acknowledged chunk is lost", acknowledged_lost === 0, acknowledged_lost);
expect("no chunk is stored twice", doubled === 0, doubled);
expect("every log holds exactly what was sent, in order", not_whole === 0, not_whole);
finish();
