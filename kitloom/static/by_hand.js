// Stickers by hand on the sheet: dragged onto another to swap, taken out, doubled; several at once.
// All of it has a key, a button or a number as well.
import { $, $$, dressed, hold, release, send } from "./exchange.js";
import { noClick, sticker } from "./under_hand.js";

function act(edit, one, other = "") {
  const form = $(".by-hand." + edit);
  if (!form) return;
  const { row, place } = one.dataset;
  form.elements.row.value = row; form.elements.place.value = place; form.elements.with.value = other;
  send(form);
}

// ---- several at once ----------------------------------------------------------------------------
const among = new Set(); // by row and place, which outlive a drawing
const key = (one) => `${one.dataset.row}.${one.dataset.place}`;
function choose(one) {
  const current = $(".stickers a[aria-current]");
  if (!among.size && current && current !== one) among.add(key(current));
  if (!among.delete(key(one))) among.add(key(one));
  show();
}
function show() {
  const panel = $("#part-several"), all = $$(".stickers a[data-sticker]"), there = new Set(all.map(key));
  if (!panel) return;
  for (const one of among) if (!there.has(one)) among.delete(one);
  for (const one of all) {
    const is = among.has(key(one));
    one.classList.toggle("among", is);
    if (is) one.setAttribute("aria-description", "one of several chosen"); else one.removeAttribute("aria-description");
  }
  if (panel.hidden !== !among.size) panel.hidden = !among.size;
  const words = among.size ? `${among.size} sticker${among.size === 1 ? "" : "s"} chosen` : "";
  if ($("output", panel).value !== words) $("output", panel).value = words;
  for (const field of $$("[name=stickers]", panel)) field.value = [...among].join(" ");
}
function none() { among.clear(); show(); }
document.addEventListener("click", (event) => {
  const one = sticker(event.target);
  if (event.target.closest("#choose-none")) none();
  if (!one || !event.shiftKey) return;
  event.preventDefault(); event.stopPropagation(); // no window of its own
  choose(one);
}, { capture: true });
// numbers of stickers change with these
document.addEventListener("submit", (event) => { if (event.target.matches(".several.counts")) setTimeout(none); });
dressed(show);

// ---- keys ---------------------------------------------------------------------------------------
document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  const one = sticker(event.target), several = one && among.has(key(one));
  if (event.key === "Escape" && among.size) { event.preventDefault(); none(); }
  if (!one) return;
  const edit = event.key === "Delete" || event.key === "Backspace" ? "remove" : event.key.toLowerCase() === "d" ? "double" : "";
  if (edit && several) { event.preventDefault(); send($(`.several.${edit}-several`)); none(); }
  else if (edit) { event.preventDefault(); act(`${edit}-sticker`, one); }
  else if (event.shiftKey && (event.key === "Enter" || event.key === " ")) { event.preventDefault(); choose(one); }
});

// ---- one dragged onto another -------------------------------------------------------------------
document.addEventListener("dragstart", (event) => { if (sticker(event.target)) event.preventDefault(); });
document.addEventListener("pointerdown", (event) => {
  const one = sticker(event.target);
  // within the chosen sticker, it is the pattern that moves
  if (!one || event.button || event.shiftKey || (one.hasAttribute("aria-current") && $("#under-hand"))) return;
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
    for (const kind of ["pointerup", "pointercancel", "keydown"]) document.removeEventListener(kind, given, { capture: true });
    if (!moved) return;
    if (e.type === "keydown") document.addEventListener("pointerup", noClick, { once: true }); else noClick();
    const other = over;
    mark(null); one.classList.remove("dragged");
    if (other && e.type === "pointerup") act("swap-stickers", one, other.dataset.sticker);
    release();
  };
  const given = (e) => { if (e.type !== "keydown" || e.key === "Escape") end(e); };
  document.addEventListener("pointermove", move);
  for (const kind of ["pointerup", "pointercancel", "keydown"]) document.addEventListener(kind, given, { capture: true });
});
dressed(() => { for (const place of $$("[data-drag]")) place.tabIndex = 0; });
