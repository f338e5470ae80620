// Where the page lies on the screen, and what of it the page cannot reach.
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
