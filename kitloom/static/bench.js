// The page works without this script; with it, edits are sent at once and only what changed is swapped.
import { $, $$, accepted, begin, dressed, isSent, send, typing } from "./exchange.js";
import "./compare.js";
import "./drafts.js";
import "./true_size.js";
import "./drop.js";
import "./tiles.js";
import "./by_hand.js";
import "./under_hand.js";
import "./placing.js";

document.documentElement.classList.add("scripted");

// ---- a colour taken from a picture --------------------------------------------------------------
document.addEventListener("click", (event) => {
  const eye = event.target.closest("input.eye");
  if (!eye) return;
  event.preventDefault();
  const keyboard = event.detail === 0;
  const x = keyboard ? eye.width / 2 : event.offsetX, y = keyboard ? eye.height / 2 : event.offsetY;
  const form = eye.form;
  form.elements.wide.value = Math.max(1, Math.round(eye.clientWidth)); form.elements.high.value = Math.max(1, Math.round(eye.clientHeight));
  send(form, [["at.x", Math.max(0, Math.round(x))], ["at.y", Math.max(0, Math.round(y))]]);
});

// ---- undo and redo by keys; in a field of text they are the field's own, until its words were sent --
document.addEventListener("keydown", (event) => {
  if (event.key === "Escape" && location.hash === "#in-sight") { location.hash = "#open-step"; return; }
  if (!(event.ctrlKey || event.metaKey) || event.altKey || (typing(event.target) && !isSent(event.target))) return;
  const key = event.key.toLowerCase(), again = key === "y" ? !event.shiftKey : key === "z" && event.shiftKey;
  if (key !== "z" && !again) return;
  event.preventDefault();
  const button = $(again ? "#redo" : "#undo");
  if (button && !button.disabled && !event.repeat) send(button.form);
});

// ---- what is shown of the sheet -----------------------------------------------------------------
function looks() {
  for (const box of $$("[data-look]")) for (const place of $$("[data-looks]")) place.classList.toggle(box.dataset.look, box.checked);
}
document.addEventListener("change", (event) => { if (event.target.matches("[data-look]")) looks(); });
dressed(looks);

// ---- Escape closes the chosen sticker's settings, once nothing nearer is given up by it -----------
document.addEventListener("keydown", (event) => {
  const close = $("#close-sticker"), on = event.target;
  if (event.key !== "Escape" || event.defaultPrevented || !close) return;
  if (on === document.body || on.closest(".stickers a")) { event.preventDefault(); close.click(); }
});

// ---- a step that is opened comes into view, below however many before it ------------------------
if (!location.hash && performance.getEntriesByType("navigation")[0]?.type === "navigate" && $("#open-step").getBoundingClientRect().top > innerHeight * .4) $("#open-step").scrollIntoView();


// ---- by keys: where an opened step begins, and what was asked for -----------------------------------
const BY_KEYS = "kitloom opened by keys";
const kept = (use) => { try { return use(sessionStorage); } catch { return null; } };
document.addEventListener("click", (event) => {
  if (event.detail === 0 && event.target.closest(".steps a.row, #next")) kept((place) => place.setItem(BY_KEYS, "yes"));
});
if (kept((place) => place.getItem(BY_KEYS))) {
  kept((place) => place.removeItem(BY_KEYS));
  if (!location.hash) $("#open-step h2").focus({ preventScroll: true });
}
let making = false;
accepted((form) => { if (form.matches("[action='/making']")) making = form.elements.do.value === "start"; });
dressed(() => {
  if (!making || $("#progress")) return;
  making = false;
  setTimeout(() => { // once the focus is back where it was
    const at = document.activeElement, files = $("#everything");
    if (files && !$("#part-making .stop") && (at === document.body || at.closest("#part-making") || at.id === "open-step")) files.focus();
  });
});

begin();
