// The device's page: records the finger, keeps every point until the bench has it on disk, and shows what is
// left. It judges nothing: cells fade at once where a report came near, and the bench's map corrects that.
// Written for old browsers: no modules, no arrow functions.
(function () {
  "use strict";
  var $ = function (id) { return document.getElementById(id); };
  var perf = window.performance || {}, storage = null;
  try { storage = window.sessionStorage; } catch (e) { storage = null; }
  function kept(name) { try { return storage && storage.getItem(name); } catch (e) { return null; } }
  function keep(name, value) { try { if (storage) storage.setItem(name, value); } catch (e) { /* full: memory has it */ } }

  // The address gives the token once; then it is out of the bar and of the history.
  var token = location.hash.slice(1) || kept("token") || "";
  if (location.hash.slice(1) && kept("token") !== token && storage) { try { storage.clear(); } catch (e) { /* private */ } }
  keep("token", token);
  if (location.hash && history.replaceState) history.replaceState(null, "", location.pathname);
  var device = kept("device") || random();
  keep("device", device);
  function random() {
    var bytes = new Uint8Array(16), text = "";
    (window.crypto || window.msCrypto).getRandomValues(bytes);
    for (var i = 0; i < 16; i++) text += ("0" + bytes[i].toString(16)).slice(-2);
    return text;
  }

  // One clock over reloads: ms since the first load of this page in this sweep.
  var loaded = perf.timeOrigin || Date.now() - (perf.now ? perf.now() : 0);
  var origin = Number(kept("origin")) || loaded;
  keep("origin", String(origin));
  function clock(stamp) {
    var t = stamp > 1e11 ? stamp - origin : stamp + (loaded - origin);
    return Math.max(0, Math.round(t * 1000) / 1000);
  }
  function now() { return clock(perf.now ? perf.now() : Date.now()); }

  // ---- what is not yet on the bench's disk ----
  var lines = [], flight = null, nextChunk = 0, sending = false, started = false, over = false;
  var wait = 0, offline = false;
  function note(object) { lines.push(JSON.stringify(object)); pump(); }
  function request(method, path, body, headers, done) {
    var x = new XMLHttpRequest();
    x.open(method, path, true);
    x.timeout = 8000;
    x.setRequestHeader("Paneproof-Token", token);
    x.setRequestHeader("Paneproof-Device", device);
    for (var h in headers) x.setRequestHeader(h, headers[h]);
    x.onload = function () {
      var given = null;
      try { given = JSON.parse(x.responseText); } catch (e) { given = null; }
      done(x.status, given, x.responseText);
    };
    x.onerror = x.ontimeout = x.onabort = function () { done(0, null, ""); };
    x.send(body);
  }
  var pumpTimer = 0;
  function pump() {
    if (!sending && !pumpTimer && !over) pumpTimer = setTimeout(function () { pumpTimer = 0; send(); }, wait || 25);
  }
  function send() {
    if (sending || over) return;
    if (!flight) {
      if (!lines.length) return;
      var n = 0, size = 0;
      // In bytes: the lines are plain ASCII.
      while (n < lines.length && size + lines[n].length < 120000 && (nextChunk > 0 || n < 1)) size += lines[n++].length + 1;
      flight = { number: nextChunk, text: lines.splice(0, n).join("\n") + "\n" };
    }
    sending = true;
    request("POST", "sweep/chunk", flight.text,
            { "Content-Type": "application/x-ndjson", "Paneproof-Chunk": String(flight.number) },
            function (status, given) {
      sending = false;
      if (given && given.next > flight.number) {
        nextChunk = given.next; flight = null; wait = 0; linked(true); save();
      } else if (status === 401 || status === 403 || status === 404 || status === 410 || status === 400 || status === 413) {
        stopAll(status);
        return;
      } else {
        linked(status !== 0);
        wait = Math.min(2000, (wait || 100) * 2);
        save();
      }
      if (flight || lines.length) pump();
    });
  }
  function save() { keep("unsent", JSON.stringify({ lines: lines, flight: flight })); }
  function linked(yes) {
    if (offline === !yes) return;
    offline = !yes;
    tell(offline ? "No link to the bench. Go on: the points are kept here." : "");
  }
  function stopAll(status) {
    over = true;
    tell("");
    $("glass").hidden = true; document.body.className = "";
    if ($("result").hidden) {
      $("intro").hidden = false; $("start").hidden = true;
      $("trouble").textContent = status === 403 ? "Another device has this sweep. Start a new one at the bench."
        : status === 413 ? "This sweep is as long as it may be. Finish it at the bench."
        : status === 400 ? "The bench cannot read this browser's points." : "This sweep has ended. Start a new one at the bench.";
    }
  }

  // ---- where the page lies on the screen ----
  var size = null, place = { left: 0, top: 0, known: false }, reach = null, swipe = { left: 0, right: 0 };
  var lastScreen = "", pxPerMm = 0, cardScale = 0;
  function measure(e) {
    var w = screen.width, h = screen.height, iw = window.innerWidth, ih = window.innerHeight;
    var left = 0, top = 0;
    if (e && isFinite(e.screenX)) {
      left = Math.round(e.screenX - e.clientX); top = Math.round(e.screenY - e.clientY);
      if (left < 0 || left > w - iw + 1) left = 0;
      if (top < 0 || top > h - ih + 1) top = Math.max(0, h - ih);
    } else if (place.known) { left = place.left; top = place.top; }
    place = { left: left, top: top, known: place.known || !!e };
    var strips = { left: Math.max(0, left), top: Math.max(0, top), right: Math.max(0, w - iw - left), bottom: Math.max(0, h - ih - top) };
    if (e || isFull()) {
      if (!reach) reach = strips;
      for (var side in strips) reach[side] = Math.min(reach[side], strips[side]);
    }
    var r = reach || strips, text;
    var s = { width: w, height: h, left: left, top: top,
      unreachable_left: Math.max(r.left, swipe.left), unreachable_top: r.top,
      unreachable_right: Math.max(r.right, swipe.right), unreachable_bottom: r.bottom };
    if (cardScale) s.px_per_mm = Math.round(cardScale * 1000) / 1000;
    text = JSON.stringify({ screen: s });
    return { screen: s, text: text };
  }
  function tooLittle(s) {
    return s.unreachable_left > s.width / 4 || s.unreachable_right > s.width / 4 ||
           s.unreachable_top > s.height / 4 || s.unreachable_bottom > s.height / 4;
  }
  function sendScreen(e) {
    var m = measure(e);
    if (m.text === lastScreen || tooLittle(m.screen)) return;
    if (size && (m.screen.width !== size.width || m.screen.height !== size.height)) return;
    size = { width: m.screen.width, height: m.screen.height };
    lastScreen = m.text;
    lines.push(m.text);
    pump();
  }
  function isFull() { return !!(document.fullscreenElement || document.webkitFullscreenElement); }
  function reachText() {
    var m = measure(null).screen, w = m.width, h = m.height;
    var lost = 1 - Math.max(0, w - m.unreachable_left - m.unreachable_right) * Math.max(0, h - m.unreachable_top - m.unreachable_bottom) / (w * h);
    return lost < 0.002 ? "" : Math.round(lost * 100) + " % of the screen is out of this page's reach (bars of the system or " +
      "the browser). Full screen, or the page added to the home screen, leaves less; what is left is never counted as proven.";
  }

  // ---- the glass ----
  var map = null, cellsCanvas = $("cells"), fingersCanvas = $("fingers"), cells = null, fingers = null;
  var local = null, fading = [], down = {}, marks = [], dirty = null, framed = false, drawnRevision = -1;
  var fingertip = 8, panel = null;
  function layout() {
    var w = window.innerWidth, h = window.innerHeight;
    cellsCanvas.width = fingersCanvas.width = w; cellsCanvas.height = fingersCanvas.height = h;
    cells = cellsCanvas.getContext("2d"); fingers = fingersCanvas.getContext("2d");
    if (map) for (var i = 0; i < map.columns * map.rows; i++) drawCell(i, look(i));
    dirty = null;
  }
  function pxX() { return size.width / panel.width_mm; }
  function pxY() { return size.height / panel.height_mm; }
  function look(i) {
    var c = map.cells.charAt(i);
    if (c === "#" || c === "%" || c === " ") return c;
    return c === "." || local[i] ? "." : "?";
  }
  // Left: a filled square with a dot. Proven: empty. Silent: a cross. Comes and goes: one stroke. Not judged: lines.
  function drawCell(i, what, strength) {
    var cw = map.cell_mm * pxX(), ch = map.cell_mm * pxY();
    var x = (i % map.columns) * cw - place.left, y = Math.floor(i / map.columns) * ch - place.top, g = cells;
    g.clearRect(x, y, cw, ch);
    if (what === ".") {
      if (!strength) return;
      g.globalAlpha = strength;
      what = "?";
    }
    if (what === "?") {
      g.fillStyle = "#2f6f9f"; g.fillRect(x + 1, y + 1, cw - 2, ch - 2);
      g.fillStyle = "#fff"; g.fillRect(x + cw / 2 - 2, y + ch / 2 - 2, 4, 4);
    } else {
      g.strokeStyle = what === " " ? "#8896a3" : "#8c1414"; g.lineWidth = what === " " ? 1 : 3;
      g.beginPath();
      if (what === " ") { g.moveTo(x, y + ch / 2); g.lineTo(x + cw, y + ch / 2); }
      else { g.moveTo(x + 3, y + 3); g.lineTo(x + cw - 3, y + ch - 3); }
      if (what === "#") { g.moveTo(x + cw - 3, y + 3); g.lineTo(x + 3, y + ch - 3); }
      g.stroke();
    }
    g.globalAlpha = 1;
  }
  function near(px, py) {
    if (!map || !local) return;
    var x = px / pxX(), y = py / pxY(), r = fingertip / 2, c = map.cell_mm, t = now();
    for (var row = Math.max(0, Math.floor((y - r) / c)); row <= Math.min(map.rows - 1, Math.floor((y + r) / c)); row++)
      for (var col = Math.max(0, Math.floor((x - r) / c)); col <= Math.min(map.columns - 1, Math.floor((x + r) / c)); col++) {
        var dx = (col + 0.5) * c - x, dy = (row + 0.5) * c - y, i = row * map.columns + col;
        if (dx * dx + dy * dy > r * r || local[i]) continue;
        if (look(i) === "?") fading.push({ cell: i, since: t });
        local[i] = t;
      }
  }
  function takeMap(given) {
    var first = !map || map.columns !== given.columns || map.rows !== given.rows, t = now(), old = map;
    if (first) { local = []; fading = []; }
    map = given;
    if (first) { layout(); return; }
    for (var i = 0; i < map.columns * map.rows; i++) {
      // The bench has seen what made this cell fade, and does not agree.
      if (local[i] && t - local[i] > 1500 && map.cells.charAt(i) === "?") local[i] = 0;
      if (map.cells.charAt(i) !== old.cells.charAt(i) || (!local[i] && map.cells.charAt(i) === "?")) drawCell(i, look(i));
    }
  }
  function frame() {
    framed = false;
    var t = now(), g = fingers, still = [], i, any = false;
    for (i = 0; i < fading.length; i++) {
      var f = fading[i], s = 1 - (t - f.since) / 250;
      drawCell(f.cell, look(f.cell), Math.max(0, s));
      if (s > 0) still.push(f);
    }
    fading = still;
    if (dirty) g.clearRect(dirty[0], dirty[1], dirty[2] - dirty[0], dirty[3] - dirty[1]);
    dirty = null;
    var n = 0;
    for (var id in down) {
      var p = down[id];
      n++;
      g.lineWidth = 3; g.strokeStyle = "#14202b";
      g.beginPath();
      for (i = 0; i < p.trail.length; i++) (i ? g.lineTo : g.moveTo).call(g, p.trail[i][0], p.trail[i][1]);
      g.stroke();
      for (i = 0; i < p.trail.length; i++) touch(p.trail[i][0], p.trail[i][1], 6);
      g.beginPath(); g.arc(p.x, p.y, 30, 0, 6.2832); g.stroke();
      g.fillStyle = "#14202b"; g.font = "bold 16px sans-serif"; g.fillText(String(n), p.x + 34, p.y - 20);
      touch(p.x, p.y, 60);
      any = true;
    }
    var live = [];
    for (i = 0; i < marks.length; i++) {
      var m = marks[i];
      if (t - m.since > 900) continue;
      live.push(m);
      g.strokeStyle = m.lost ? "#8c1414" : "#14202b"; g.lineWidth = 3; g.beginPath();
      if (m.lost) { g.moveTo(m.x - 12, m.y - 12); g.lineTo(m.x + 12, m.y + 12); g.moveTo(m.x + 12, m.y - 12); g.lineTo(m.x - 12, m.y + 12); }
      else { g.moveTo(m.x - 10, m.y + 4); g.lineTo(m.x, m.y - 8); g.lineTo(m.x + 10, m.y + 4); }
      g.stroke();
      touch(m.x, m.y, 18);
    }
    marks = live;
    if (fading.length || any || marks.length) draw();
  }
  function touch(x, y, r) {
    if (!dirty) dirty = [x - r, y - r, x + r, y + r];
    else dirty = [Math.min(dirty[0], x - r), Math.min(dirty[1], y - r), Math.max(dirty[2], x + r), Math.max(dirty[3], y + r)];
  }
  function draw() {
    if (!framed && $("glass").hidden === false) { framed = true; window.requestAnimationFrame(frame); }
  }

  // ---- the finger ----
  var lastLift = null, edgeCancel = null, sweeping = false, turned = false, quiet = 0;
  function round(v) { return Math.round(v * 1000) / 1000; }
  function point(e) { return { timeStamp: clock(e.timeStamp), clientX: round(e.clientX), clientY: round(e.clientY) }; }
  function record(type, id, kind, buttons, at, list) {
    if (!sweeping || turned || kind === "mouse") return;
    if (!size) { tell("This page reaches too little of the screen. Make it full screen."); return; }
    var line = { type: type, pointerId: id, pointerType: kind || "touch", buttons: buttons, timeStamp: at.timeStamp,
                 clientX: at.clientX, clientY: at.clientY };
    if (list && list.length) line.coalesced = list;
    lines.push(JSON.stringify(line));
    pump();
    var pts = list && list.length ? list : [at], p = down[id], i;
    if (type === "pointerdown") {
      p = down[id] = { x: at.clientX, y: at.clientY, x0: at.clientX, trail: [] };
      $("stop").hidden = true;
      // Down again at once where the last one ended, on its way: the contact was lost, no hand does that.
      if (lastLift && at.timeStamp - lastLift.t < 80) marks.push({ x: lastLift.x, y: lastLift.y, since: now(), lost: true });
    }
    if (p && type !== "pointercancel")
      for (i = 0; i < pts.length; i++) {
        p.x = pts[i].clientX; p.y = pts[i].clientY;
        p.trail.push([p.x, p.y]);
        if (p.trail.length > 24) p.trail.shift();
        near(p.x + place.left, p.y + place.top);
      }
    if (p && (type === "pointerup" || type === "pointercancel")) {
      lastLift = type === "pointerup" ? { t: at.timeStamp, x: p.x, y: p.y } : null;
      if (type === "pointerup") marks.push({ x: p.x, y: p.y, since: now() });
      else edgeCancel = { t: now(), side: p.x0 < 32 ? "left" : p.x0 > window.innerWidth - 32 ? "right" : "" };
      delete down[id];
    }
    quiet = now();
    draw();
  }
  function onPointer(e) {
    if (aiming) return aimAt(e);
    if (e.type === "pointerdown") sendScreen(e);
    var list = [];
    if (e.type === "pointermove" && e.getCoalescedEvents) {
      var c = e.getCoalescedEvents();
      for (var i = 0; i < c.length; i++) list.push(point(c[i]));
    }
    record(e.type, e.pointerId, e.pointerType, e.buttons, point(e), list);
    if (e.cancelable) e.preventDefault();
  }
  function onTouch(e) {
    var type = { touchstart: "pointerdown", touchmove: "pointermove", touchend: "pointerup", touchcancel: "pointercancel" }[e.type];
    if (e.target === $("stop")) return;
    if (!window.PointerEvent)
      for (var i = 0; i < e.changedTouches.length; i++) {
        var t = e.changedTouches[i], at = { timeStamp: clock(e.timeStamp), clientX: round(t.clientX), clientY: round(t.clientY) };
        if (aiming) { aimAt({ type: type, clientX: t.clientX, clientY: t.clientY, pointerType: "touch" }); continue; }
        if (type === "pointerdown") sendScreen(t);
        record(type, t.identifier, "touch", type === "pointerup" ? 0 : 1, at, null);
      }
    if (e.cancelable) e.preventDefault();
  }
  var glass = $("glass"), kinds = ["down", "move", "up", "cancel"], i;
  for (i = 0; i < 4; i++) if (window.PointerEvent) glass.addEventListener("pointer" + kinds[i], function (e) { if (e.target !== $("stop")) onPointer(e); });
  var touches = ["touchstart", "touchmove", "touchend", "touchcancel"];
  for (i = 0; i < 4; i++) glass.addEventListener(touches[i], onTouch, { passive: false });
  var held = ["contextmenu", "selectstart", "dragstart", "gesturestart", "gesturechange"];
  for (i = 0; i < held.length; i++) document.addEventListener(held[i], function (e) { if (sweeping) e.preventDefault(); });

  // ---- what is not the panel's fault ----
  function interrupted(kind, words) {
    if (!started || over) return;
    note({ type: "interruption", kind: kind, timeStamp: now() });
    down = {}; lastLift = null;
    if (words) tell(words);
    save();
  }
  function tell(words) { $("hud").textContent = words; }
  document.addEventListener("visibilitychange", function () {
    if (document.hidden && sweeping) {
      if (edgeCancel && now() - edgeCancel.t < 1000 && edgeCancel.side) { swipe[edgeCancel.side] = 24; sendScreen(null); }
      interrupted("hidden", "");
    } else if (sweeping) tell("Welcome back: nothing was lost. Go on with the filled squares.");
  });
  window.addEventListener("pagehide", function () {
    if (sweeping) interrupted("left", "");
    save();
  });
  window.addEventListener("popstate", function () {
    if (!sweeping) return;
    if (edgeCancel && edgeCancel.side) { swipe[edgeCancel.side] = 24; sendScreen(null); }
    interrupted("back", "A back swipe was held off. The strip at that edge is out of the page's reach.");
    history.pushState({ sweep: 1 }, "");
  });
  window.addEventListener("resize", function () {
    if (!size) { showReach(); return; }
    var now_turned = screen.width !== size.width || screen.height !== size.height;
    if (now_turned && !turned) { interrupted("rotated", "Turn the device back: the sweep goes on as it began."); turned = true; }
    if (!now_turned && turned) { turned = false; tell(""); }
    if (!turned && sweeping) { sendScreen(null); layout(); }
  });

  // ---- the steps ----
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

  // ---- five marks: touches may land beside the finger though every cell is proven ----
  var aiming = null;
  $("aim").onclick = function () {
    var inset = 12, w = panel.width_mm, h = panel.height_mm;
    aiming = { marks: [[inset, inset], [w - inset, inset], [w / 2, h / 2], [inset, h - inset], [w - inset, h - inset]], got: [] };
    request("POST", "sweep/aim", "[]", {}, function () {});
    sweeping = false;
    $("result").hidden = true; glass.hidden = false; document.body.className = "sweeping"; $("stop").hidden = true;
    layout(); drawMark();
  };
  function drawMark() {
    var m = aiming.marks[aiming.got.length], x = m[0] * pxX() - place.left, y = m[1] * pxY() - place.top, g = fingers;
    cells.clearRect(0, 0, cellsCanvas.width, cellsCanvas.height);
    g.clearRect(0, 0, fingersCanvas.width, fingersCanvas.height);
    g.strokeStyle = "#0b3a5b"; g.lineWidth = 3;
    g.beginPath(); g.arc(x, y, 22, 0, 6.2832); g.moveTo(x - 34, y); g.lineTo(x + 34, y); g.moveTo(x, y - 34); g.lineTo(x, y + 34); g.stroke();
    tell("Touch the middle of mark " + (aiming.got.length + 1) + " of 5.");
  }
  function aimAt(e) {
    if (e.type !== "pointerup" || e.pointerType === "mouse") return;
    var m = aiming.marks[aiming.got.length];
    aiming.got.push([m[0], m[1], (e.clientX + place.left) / pxX(), (e.clientY + place.top) / pxY()].map(round));
    if (aiming.got.length < 5) { drawMark(); return; }
    request("POST", "sweep/aim", JSON.stringify(aiming.got), {}, function () {});
    aiming = null; tell("");
    glass.hidden = true; $("result").hidden = false; document.body.className = "";
  }

  // ---- what the bench says ----
  var cardNeeded = false, judged = -1;
  function list(id, texts) {
    var at = $(id), j;
    at.textContent = "";
    for (j = 0; j < (texts || []).length; j++) { var li = document.createElement("li"); li.textContent = texts[j]; at.appendChild(li); }
    return (texts || []).length > 0;
  }
  function showVerdict(v, revision) {
    if (judged === revision) return;
    judged = revision;
    sweeping = false;
    glass.hidden = true; document.body.className = ""; $("intro").hidden = true; $("result").hidden = false;
    $("word").textContent = { pass: "Pass: the panel is proven good", fail: "Fail: a fault was found", resweep: "Resweep: not enough was proven" }[v.outcome];
    $("rate").textContent = v.limited ? "Report rate: limited by the browser. No missed report is charged to the panel." : "";
    list("reasons", v.reasons);
    $("next").hidden = !list("steps", v.next_steps);
    $("care").hidden = !list("cautions", v.cautions);
    $("again").hidden = v.outcome === "pass";
    request("GET", "sweep/picture", null, {}, function (status, g, text) {
      if (status !== 200) return;
      $("picture").src = URL.createObjectURL(new Blob([text], { type: "image/svg+xml" }));
      $("picture").hidden = false;
    });
  }
  function poll() {
    if (over) return;
    request("GET", "sweep/state", null, {}, function (status, given) {
      if (status === 200 && given) heard(given);
      else if (status === 0) { if (started) linked(false); }
      else if (status >= 400) { stopAll(status); return; }
      setTimeout(poll, status === 0 ? 1000 : now() - quiet < 3000 ? 120 : 350);
    });
  }
  var first = true;
  function heard(given) {
    if (first) arrive(given);
    if (given.map && given.map.cells && size && panel && given.revision !== drawnRevision) { drawnRevision = given.revision; takeMap(given.map); }
    if (given.stage === "judged" && given.verdict && !aiming) showVerdict(given.verdict, given.verdict.number);
    if (given.aim) $("aimed").textContent = given.aim;
    if (sweeping && !turned) {
      var none = true;
      for (var id in down) none = false;
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
    $("card-side").textContent = "short side";
    s.max = String(Math.min(16, (window.innerWidth - 44) / side));
    s.value = String(Math.min(6, Number(s.max) * 0.8));
    s.oninput = function () { $("bar").style.width = Number(s.value) * side + "px"; keep("card", s.value); };
    s.oninput();
  }
  if (!token) stopAll(401); else poll();
}());
