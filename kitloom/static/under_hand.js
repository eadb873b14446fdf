// The chosen sticker's pattern under the hand: moved, sized and turned on the sheet itself or in the
// picture beside it, by dragging, wheel, pinch and keys. It follows at once, drawn by the browser; the
// edit is sent when it is let go, and the drawn sheet follows. Escape gives up.
import { $, hold, release, send } from "./exchange.js";
import { asBefore, pattern, shifted, sized, turned } from "./true_size.js";

export const sticker = (target) => (target.closest ? target.closest("a[data-sticker]") : null);
// the chosen sticker, if it shows a pattern
const chosen = (target) => {
  const one = sticker(target);
  return one && one.hasAttribute("aria-current") && !one.classList.contains("among") && $("[data-percent]") ? one : null;
};
const own = (target) => chosen(target) || (target.closest ? target.closest("[data-drag]") : null);
const follows = (does) => document.body.classList.toggle("follows", does);

// the click that follows a drag is no choice
export function noClick() {
  const still = (click) => { click.preventDefault(); click.stopPropagation(); };
  document.addEventListener("click", still, { capture: true, once: true });
  setTimeout(() => document.removeEventListener("click", still, { capture: true }), 0);
}

// ---- one edit of a run of key presses or of turns of the wheel -----------------------------------
let later = null, due = null;
function soon(form, place) {
  if (due && due !== form) now();
  hold(place); follows(true);
  clearTimeout(later);
  due = form;
  later = setTimeout(now, 400);
}
function now() {
  const form = due;
  clearTimeout(later);
  later = due = null;
  if (form) { letFall(form); release(); }
}
// drawn over the sheet until the answer shows the sheet as older than it
function letFall(form) { send(form).finally(() => { if (!due && !grasp) follows(false); }); }

const STEPS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
document.addEventListener("keydown", (event) => {
  if (event.key === "Escape" && grasp) { event.preventDefault(); event.stopImmediatePropagation(); giveUp(); return; }
  if (event.ctrlKey || event.metaKey || event.altKey || !own(event.target)) return;
  const place = pattern(), step = STEPS[event.key], by = event.shiftKey ? 5 : 0.5;
  if (place && step) {
    event.preventDefault();
    shifted(place.dataset, { x: +place.dataset.x, y: +place.dataset.y }, step[0] * by, step[1] * by);
    soon($("[data-window=x]").form, place);
  } else if ("+-=_".includes(event.key)) {
    event.preventDefault();
    resize(event.key === "+" || event.key === "=" ? 1.05 : 1 / 1.05);
  }
}, { capture: true });
const inReach = (percent) => Math.min(1000, Math.max(10, percent));
function resize(times) {
  const field = $("[data-percent]"), place = pattern();
  field.value = +inReach((place ? place.dataset.sizedTo : field.value) * times).toFixed(1);
  sized(field.value);
  soon(field.form, place || field);
}
document.addEventListener("wheel", (event) => {
  if (!own(event.target)) return;
  event.preventDefault();
  if (!event.deltaY || grasp) return;
  // a pinch on a touchpad comes as a wheel with Ctrl, in many small steps
  resize(event.ctrlKey ? Math.exp(-event.deltaY / 100) : event.deltaY < 0 ? 1.05 : 1 / 1.05);
}, { passive: false });
document.addEventListener("change", (event) => { if (event.target.matches("[data-sizes]")) letFall(event.target.form); });
document.addEventListener("input", (event) => { if (event.target.matches("[data-sizes]")) follows(true); });

// ---- in the hand --------------------------------------------------------------------------------
let grasp = null; // what is done, since which state, and with which fingers
const fingers = new Map();
function within(event, onSheet) { // a point in millimetres of the sticker, as it lies before it is turned
  if (!onSheet) { const zoom = pattern().zoom; return new DOMPoint(event.clientX / zoom, event.clientY / zoom); }
  return new DOMPoint(event.clientX, event.clientY).matrixTransform($("#turn-handle").getScreenCTM().inverse());
}
const span = () => { const [a, b] = [...fingers.values()]; return Math.hypot(a[0] - b[0], a[1] - b[1]); };
function angleAt(event) {
  const { wide, high } = pattern().dataset, at = within(event, true);
  return Math.atan2(at.y - high / 2, at.x - wide / 2) * 180 / Math.PI;
}
document.addEventListener("pointerdown", (event) => {
  const place = pattern(), knob = event.target.closest("#turn-handle");
  if (!place || event.button || event.shiftKey || !(knob || own(event.target))) return;
  event.preventDefault(); // no text is chosen, and no picture carried off
  fingers.set(event.pointerId, [event.clientX, event.clientY]);
  if (grasp) {
    if (grasp.does === "turn" || fingers.size !== 2) return;
    asBefore(grasp.kept);
    grasp = { ...grasp, does: "size", span: span(), moved: true };
    return;
  }
  now();
  const onSheet = !event.target.closest("[data-drag]"), kept = { ...place.dataset };
  grasp = { does: knob ? "turn" : "move", kept, onSheet, moved: false, from: within(event, onSheet), at: [event.clientX, event.clientY], angle: knob ? angleAt(event) : 0 };
  hold(place);
  place.classList.toggle("held", !knob);
  const one = chosen(event.target) || place;
  one.focus({ preventScroll: true });
});
document.addEventListener("pointermove", (event) => {
  if (!grasp || !fingers.has(event.pointerId)) return;
  fingers.set(event.pointerId, [event.clientX, event.clientY]);
  const { does, kept, onSheet, from, at } = grasp, place = pattern();
  if (!grasp.moved && Math.hypot(event.clientX - at[0], event.clientY - at[1]) < 3) return;
  grasp.moved = true;
  follows(true);
  if (does === "size") {
    if (fingers.size < 2) return;
    const field = $("[data-percent]");
    field.value = +inReach(kept.sizedTo * span() / grasp.span).toFixed(1);
    sized(field.value);
  } else if (does === "turn") {
    const degrees = +kept.turn + angleAt(event) - grasp.angle, whole = event.shiftKey ? Math.round(degrees / 15) * 15 : Math.round(degrees);
    const field = $("[data-turned]");
    field.value = ((whole + 540) % 360) - 180;
    turned(field.value);
  } else {
    const to = within(event, onSheet);
    shifted(place.dataset, { x: +kept.x, y: +kept.y }, to.x - from.x, to.y - from.y);
  }
});
function putDown() {
  pattern().classList.remove("held");
  grasp = null;
}
function giveUp() {
  const { kept, moved } = grasp;
  putDown();
  if (moved) document.addEventListener("pointerup", noClick, { once: true });
  asBefore(kept); follows(false); release();
}
for (const kind of ["pointerup", "pointercancel"]) document.addEventListener(kind, (event) => {
  if (!fingers.delete(event.pointerId) || !grasp) return;
  if (kind === "pointercancel") { giveUp(); return; }
  const { does, kept, moved } = grasp, { x, y, sizedTo, turn } = pattern().dataset;
  putDown();
  if (moved) noClick();
  const [field, changed] = does === "move" ? ["[data-window=x]", x !== kept.x || y !== kept.y]
    : does === "size" ? ["[data-percent]", +sizedTo !== +kept.sizedTo] : ["[data-turned]", +turn !== +kept.turn];
  if (changed) letFall($(field).form); else follows(false);
  release();
});
