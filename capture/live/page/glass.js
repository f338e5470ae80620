// The glass: cells that fade as they are proven, fingers, lifts and losses.
var map = null, cellsCanvas = $("cells"), fingersCanvas = $("fingers"), cells = null, fingers = null;
var local = null, fading = [], down = {}, marks = [], dirty = null, framed = false, drawnRevision = -1;
var fingertip = 8, panel = null;
function layout() {
  var w = window.innerWidth, h = window.innerHeight;
  cellsCanvas.width = fingersCanvas.width = w; cellsCanvas.height = fingersCanvas.height = h;
  cells = cellsCanvas.getContext("2d"); fingers = fingersCanvas.getContext("2d");
  // The first letter and the first arc cost the most: not under the finger.
  fingers.font = "bold 16px sans-serif"; fingers.fillText("1", -99, -99);
  fingers.beginPath(); fingers.arc(-99, -99, 30, 0, 6.2832); fingers.stroke();
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
