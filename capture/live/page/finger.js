// The finger: pointer or touch events to lines of the log.
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
