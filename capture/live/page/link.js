// What is not yet on the bench's disk, and the way there: numbered chunks, again until acknowledged.
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
