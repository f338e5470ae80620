// What the bench says: the map, the verdict, and where a page that was loaded again goes on.
var cardNeeded = false, judged = -1;
function list(id, texts) {
  var at = $(id), j;
  at.textContent = "";
  for (j = 0; j < (texts || []).length; j++) { var li = document.createElement("li"); li.textContent = texts[j]; at.appendChild(li); }
  return (texts || []).length > 0;
}
function mm(length) { return String(Math.round(length * 10) / 10); }
function showVerdict(v, revision) {
  if (judged === revision) return;
  judged = revision;
  sweeping = false;
  glass.hidden = true; document.body.className = ""; $("intro").hidden = true; $("result").hidden = false;
  $("word").textContent = { pass: "Pass: the panel is proven good", fail: "Fail: a fault was found", resweep: "Resweep: not enough was proven" }[v.outcome];
  $("word").className = v.outcome;
  $("about").textContent = $("job").textContent + (panel ? ($("job").textContent ? ", panel " : "Panel ") + mm(panel.width_mm) + " x " + mm(panel.height_mm) + " mm" : "");
  window.scrollTo(0, 0);
  $("word").focus();
  $("rate").textContent = v.limited ? "Report rate: limited by the browser. No missed report is charged to the panel." : "";
  list("reasons", v.reasons);
  $("next").hidden = !list("steps", v.next_steps);
  $("care").hidden = !list("cautions", v.cautions);
  $("again").hidden = v.outcome === "pass";
  request("GET", "sweep/picture", null, {}, function (status, g, text) {
    if (status !== 200) return;
    $("picture").src = URL.createObjectURL(new Blob([text], { type: "image/svg+xml" }));
    $("map").hidden = false;
  });
}
function poll() {
  if (over) return;
  request("GET", "sweep/state", null, {}, function (status, given) {
    if (status === 200 && given) heard(given);
    else if (status === 0) { if (started) linked(false); }
    else if (status >= 400) { stopAll(status); return; }
    var rested = now() - quiet;
    // After a lift the verdict may be near.
    setTimeout(poll, status === 0 ? 1000 : rested < 2000 && nobody() ? 50 : rested < 3000 ? 120 : 350);
  });
}
function nobody() { for (var id in down) return false; return true; }
var first = true;
function heard(given) {
  if (first) arrive(given);
  if (given.map && given.map.cells && size && panel && given.revision !== drawnRevision) { drawnRevision = given.revision; takeMap(given.map); }
  if (given.stage === "judged" && given.verdict && !aiming) showVerdict(given.verdict, given.verdict.number);
  if (given.aim) $("aimed").textContent = given.aim;
  if (sweeping && !turned) {
    var none = nobody();
    $("stop").hidden = !(none && now() - quiet > 1500 && nextChunk > 1);
    if (none && given.map && given.map.left_words && now() - quiet > 1500 && !offline) tell(given.map.left_words);
  }
}
function arrive(given) {
  first = false;
  var m = given.map || {};
  $("job").textContent = m.job ? "Job " + m.job : "";
  fingertip = m.fingertip_mm || 8;
  if (m.rows_words) $("rows").textContent = m.rows_words;
  if (m.pace_words) $("pace").textContent = m.pace_words;
  cardNeeded = !m.width_mm;
  if (!cardNeeded) panel = { width_mm: m.width_mm, height_mm: m.height_mm };
  $("card").hidden = !cardNeeded;
  if (cardNeeded) setCard();
  showReach();
  // A page that was loaded again goes on where it was.
  var unsent = null;
  try { unsent = JSON.parse(kept("unsent")); } catch (e) { unsent = null; }
  nextChunk = given.next;
  if (unsent) {
    flight = unsent.flight && unsent.flight.number >= given.next ? unsent.flight : null;
    lines = unsent.lines.concat(lines);
  }
  if (kept("started") && given.next > 0 && given.stage === "sweeping") {
    size = { width: screen.width, height: screen.height };
    if (Number(kept("card"))) { cardScale = Number(kept("card")); panel = { width_mm: screen.width / cardScale, height_mm: screen.height / cardScale }; }
    begin(true);
    tell("Welcome back: nothing was lost. Go on with the filled squares.");
  }
  pump();
}
// ISO/IEC 7810 ID-1: 85.60 x 53.98 mm.
function setCard() {
  var side = 53.98, s = $("scale");
  $("card-mm").textContent = side.toFixed(2);
  s.max = String(Math.min(16, (window.innerWidth - 44) / side));
  s.value = String(Math.min(6, Number(s.max) * 0.8));
  s.oninput = function () {
    $("bar").style.width = Number(s.value) * side + "px"; keep("card", s.value);
    // A bar that can grow no further may still be shorter than the card.
    $("card-short").textContent = Number(s.value) < Number(s.max) - 0.03 ? "" : "This is the longest that fits. If the card's side is longer, " +
      "this screen is too narrow for it: end the sweep at the bench and start it with --panel.";
  };
  s.oninput();
}
if (!token) stopAll(401); else poll();
