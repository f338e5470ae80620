// The device's page, in parts that the build joins: records the finger, keeps every point until the bench has it on
// disk, and shows what is left. It judges nothing: cells fade at once where a report came near, and the bench's map
// corrects that. Written for old browsers: no modules, no arrow functions.
//
// Token, device, clock: what the page knows before it does anything.
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
