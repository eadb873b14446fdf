// Stickers by hand on the sheet: dragged onto another to swap, taken out, doubled; the chosen one's
// pattern moved and sized by keys. All of it has a button or a number in the drawer as well.
import { $, $$, dressed, hold, release, send } from "./exchange.js";
import { sized } from "./true_size.js";

const sticker = (event) => event.target.closest && event.target.closest("a[data-sticker]");
function act(edit, one, other = "") {
  const form = $(".by-hand." + edit);
  if (!form) return;
  const { row, place } = one.dataset;
  form.elements.row.value = row; form.elements.place.value = place; form.elements.with.value = other;
  send(form);
}

// ---- keys ---------------------------------------------------------------------------------------
const STEPS = { ArrowLeft: ["x", 1], ArrowRight: ["x", -1], ArrowUp: ["y", 1], ArrowDown: ["y", -1] };
let later = null;
function soon(form, place) { // a run of key presses is one edit
  hold(place);
  clearTimeout(later);
  later = setTimeout(() => { later = null; send(form); release(); }, 400);
}
document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  const one = sticker(event), place = $("[data-drag]");
  const own = (one && one.hasAttribute("aria-current")) || (place && event.target === place);
  if (one && (event.key === "Delete" || event.key === "Backspace")) { event.preventDefault(); act("remove-sticker", one); }
  else if (one && event.key.toLowerCase() === "d") { event.preventDefault(); act("double-sticker", one); }
  else if (own && place && STEPS[event.key]) {
    event.preventDefault();
    const [side, way] = STEPS[event.key], field = $(`[data-window=${side}]`);
    field.value = (+field.value + way * (event.shiftKey ? 5 : 0.5)).toFixed(1);
    field.dispatchEvent(new Event("input", { bubbles: true }));
    soon(field.form, place);
  } else if (own && $("[data-percent]") && "+-=_".includes(event.key)) {
    event.preventDefault();
    step(event.key === "+" || event.key === "=" ? 1.05 : 1 / 1.05);
  }
});
function step(times) {
  const field = $("[data-percent]");
  field.value = Math.min(1000, Math.max(10, Math.round(field.value * times)));
  sized(field.value);
  soon(field.form, $("[data-drag]") || field);
}
document.addEventListener("wheel", (event) => {
  if (!event.target.closest || !event.target.closest("[data-drag]")) return;
  event.preventDefault();
  step(event.deltaY < 0 ? 1.05 : 1 / 1.05);
}, { passive: false });
document.addEventListener("input", (event) => {
  if (!event.target.matches("[data-sizes], [data-percent]")) return;
  if (event.target.matches("[data-sizes]")) $("[data-percent]").value = event.target.value;
  sized(event.target.value);
});
document.addEventListener("change", (event) => { if (event.target.matches("[data-sizes]")) send(event.target.form); });

// ---- one dragged onto another -------------------------------------------------------------------
document.addEventListener("dragstart", (event) => { if (sticker(event)) event.preventDefault(); });
document.addEventListener("pointerdown", (event) => {
  const one = sticker(event);
  if (!one || event.button) return;
  const from = [event.clientX, event.clientY], path = $(".line", one).getBBox();
  let over = null, moved = false;
  const same = (other) => { const box = $(".line", other).getBBox(); return Math.abs(box.width - path.width) < .01 && Math.abs(box.height - path.height) < .01; };
  const mark = (other) => { if (over) over.classList.remove("takes"); over = other; if (over) over.classList.add("takes"); };
  const move = (e) => {
    if (!moved && Math.hypot(e.clientX - from[0], e.clientY - from[1]) < 6) return;
    if (!moved) { moved = true; one.classList.add("dragged"); hold(one); }
    const at = document.elementFromPoint(e.clientX, e.clientY), other = at && at.closest("a[data-sticker]");
    mark(other && other !== one && same(other) ? other : null);
  };
  const end = (e) => {
    document.removeEventListener("pointermove", move);
    for (const kind of ["pointerup", "pointercancel"]) document.removeEventListener(kind, end);
    if (!moved) return;
    // the click that follows a drag is no choice
    const still = (click) => { click.preventDefault(); click.stopPropagation(); };
    document.addEventListener("click", still, { capture: true, once: true });
    setTimeout(() => document.removeEventListener("click", still, { capture: true }), 0);
    const other = over;
    mark(null); one.classList.remove("dragged");
    if (other && e.type === "pointerup") act("swap-stickers", one, other.dataset.sticker);
    release();
  };
  document.addEventListener("pointermove", move);
  for (const kind of ["pointerup", "pointercancel"]) document.addEventListener(kind, end);
});
dressed(() => { for (const place of $$("[data-drag]")) place.tabIndex = 0; });
