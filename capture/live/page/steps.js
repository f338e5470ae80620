// The steps: start, stop, again, done.
function showReach() { $("reach").textContent = reachText(); }
function begin(resumed) {
  if (!resumed) {
    var root = document.documentElement, full = root.requestFullscreen || root.webkitRequestFullscreen;
    if (full) { try { var p = full.call(root, { navigationUI: "hide" }); if (p && p.then) p.then(locked, locked); } catch (e) { /* goes on in the window */ } }
    if (navigator.wakeLock) navigator.wakeLock.request("screen").then(null, function () { /* the screen may sleep */ });
  }
  if (history.pushState) history.pushState({ sweep: 1 }, "");
  sweeping = true;
  $("intro").hidden = true; $("result").hidden = true; glass.hidden = false;
  document.body.className = "sweeping";
  if (nextChunk === 0 && !flight && !lines.length) sendScreen(null);
  started = true; keep("started", "1");
  quiet = now();
  if (map && !panel) panel = { width_mm: map.width_mm, height_mm: map.height_mm };
  if (size && panel) layout();
  tell("Drag over all the filled squares.");
  setTimeout(function () { if (!offline) tell(""); }, 2500);
}
function locked() {
  var o = screen.orientation;
  if (o && o.lock) o.lock(o.type).then(null, function () { /* the page watches for turns */ });
}
$("start").onclick = function () {
  if (cardNeeded) {
    cardScale = Number($("scale").value);
    panel = { width_mm: screen.width / cardScale, height_mm: screen.height / cardScale };
  } else {
    var upright = screen.height >= screen.width, tall = panel.height_mm >= panel.width_mm;
    if (upright !== tall) { $("trouble").textContent = "Turn the device: the panel was given as " + panel.width_mm + " by " + panel.height_mm + " mm."; return; }
  }
  var m = measure(null);
  if (tooLittle(m.screen) && !document.documentElement.requestFullscreen) {
    $("trouble").textContent = "This page reaches too little of the screen. Make its window as large as the screen.";
    return;
  }
  $("trouble").textContent = "";
  begin(false);
};
$("stop").onclick = function () { $("stop").hidden = true; tell("Judging…"); drained(function () { request("POST", "sweep/verdict", "", {}, function () {}); }); };
$("again").onclick = function () { request("POST", "sweep/again", "", {}, function () { begin(false); }); };
$("done").onclick = function () { request("POST", "sweep/done", "", {}, function () {
  over = true; $("again").hidden = $("aim").hidden = $("done").hidden = true; $("aimed").textContent = "Done. The bench has the result."; }); };
function drained(then) {
  if (over) return;
  if (!flight && !lines.length) then(); else { pump(); setTimeout(function () { drained(then); }, 60); }
}
