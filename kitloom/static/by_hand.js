// Stickers by hand on the sheet: taken out, doubled; several at once, by Shift or by a button.
// All of it has a key, a button or a number as well. Moving them is in placing.js.
import { $, $$, dressed, send } from "./exchange.js";
import { sticker } from "./under_hand.js";

export function act(edit, one, other = "") {
  const form = $(".by-hand." + edit);
  if (!form) return;
  const { row, place } = one.dataset;
  form.elements.row.value = row; form.elements.place.value = place; form.elements.with.value = other;
  send(form);
}

// ---- several at once ----------------------------------------------------------------------------
const among = new Set(); // by row and place, which outlive a drawing
export const key = (one) => `${one.dataset.row}.${one.dataset.place}`;
// the stickers that are moved with this one
export const together = (one) => among.has(key(one)) ? $$(".stickers a[data-sticker]").filter((other) => among.has(key(other))) : [one];
let byTaps = false; // each click adds to the choice, without Shift
function choose(one) {
  const current = $(".stickers a[aria-current]");
  if (!among.size && current && current !== one) among.add(key(current));
  if (!among.delete(key(one))) among.add(key(one));
  show();
}
function show() {
  const panel = $("#part-several"), all = $$(".stickers a[data-sticker]"), there = new Set(all.map(key));
  if (!panel) return;
  $("#choose-several").setAttribute("aria-pressed", byTaps);
  for (const one of among) if (!there.has(one)) among.delete(one);
  for (const one of all) {
    const is = among.has(key(one));
    one.classList.toggle("among", is);
    if (is) one.setAttribute("aria-description", "one of several chosen"); else one.removeAttribute("aria-description");
  }
  if (panel.hidden !== !among.size) panel.hidden = !among.size;
  const sheets = new Set(all.filter((one) => among.has(key(one))).map((one) => one.closest("svg.sheet")));
  const words = among.size ? `${among.size} sticker${among.size === 1 ? "" : "s"} chosen${sheets.size > 1 ? `, on ${sheets.size} sheets: those on one sheet are dragged together` : ""}` : "";
  if ($("output", panel).value !== words) $("output", panel).value = words;
  for (const field of $$("[name=stickers]", panel)) field.value = [...among].join(" ");
}
function none() { among.clear(); byTaps = false; show(); }
document.addEventListener("click", (event) => {
  const one = sticker(event.target);
  if (event.target.closest("#choose-none")) none();
  if (event.target.closest("#choose-several")) { byTaps = !byTaps; if (byTaps) show(); else none(); return; }
  if (!one || !(event.shiftKey || byTaps) || event.ctrlKey || event.metaKey) return;
  event.preventDefault(); event.stopPropagation(); // no window of its own
  choose(one);
}, { capture: true });
// numbers of stickers change with these
document.addEventListener("submit", (event) => { if (event.target.matches(".several.counts")) setTimeout(none); });
dressed(show);

// ---- keys ---------------------------------------------------------------------------------------
document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  const current = $(".stickers a[aria-current]");
  if (event.key === "Escape" && current && event.target.closest("#part-sticker")) { event.preventDefault(); current.focus(); return; }
  const one = sticker(event.target), several = one && among.has(key(one));
  if (event.key === "Escape" && among.size) { event.preventDefault(); none(); }
  if (!one) return;
  const edit = event.key === "Delete" || event.key === "Backspace" ? "remove" : event.key.toLowerCase() === "d" ? "double" : "";
  if (edit && several) { event.preventDefault(); send($(`.several.${edit}-several`)); none(); }
  else if (edit) { event.preventDefault(); act(`${edit}-sticker`, one); }
  else if (event.shiftKey && (event.key === "Enter" || event.key === " ")) { event.preventDefault(); choose(one); }
});

dressed(() => { for (const place of $$("[data-drag]")) place.tabIndex = 0; });
