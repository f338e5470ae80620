// Five marks: touches may land beside the finger though every cell is proven.
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
