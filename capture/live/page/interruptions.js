// What is not the panel's fault: the system, the user and the network in between.
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
