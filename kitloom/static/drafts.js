// What is written in a form that has a button of its own, and was not sent, outlives leaving the step:
// this tab keeps it until it is sent or discarded.
import { $$, accepted, changedIn, dressed } from "./exchange.js";

const nameOf = (field) => `kitloom ${document.body.dataset.kit} ${field.id}`;
const mark = (form) => form.elements.was; // by what is known which text it was a change of
const store = (use) => { try { return use(sessionStorage); } catch { return null; } };

document.addEventListener("input", ({ target: field }) => {
  if (!field.matches("[data-keep]") || !field.id) return;
  const kept = JSON.stringify({ value: field.value, was: mark(field.form)?.value });
  store((place) => changedIn(field) ? place.setItem(nameOf(field), kept) : place.removeItem(nameOf(field)));
  tell();
});
document.addEventListener("click", (event) => {
  const button = event.target.closest("[data-discard]");
  if (!button) return;
  forget(button.form);
  location.reload();
});
accepted(forget);
function forget(form) { for (const field of form.querySelectorAll("[data-keep]")) store((place) => place.removeItem(nameOf(field))); }

// what was written before this step was left
for (const field of $$("[data-keep]")) {
  const kept = store((place) => JSON.parse(place.getItem(nameOf(field))));
  if (!kept || field.dataset.was !== undefined || kept.value === field.defaultValue) continue;
  field.value = kept.value;
  if (kept.was !== undefined) mark(field.form).value = kept.was;
  for (let fold = field.closest("details"); fold; fold = fold.parentElement.closest("details")) fold.open = true;
}
function tell() {
  for (const field of $$("[data-keep]")) field.form.classList.toggle("unsaved", changedIn(field));
}
dressed(tell);
